#include "earbudget/measurement/meters/sample_source.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace earbudget {

Excerpt::Excerpt(SampleSource& recording, Seconds from, Seconds to)
    : recording_(recording), from_(from) {
    // More than any recording holds, and still a whole number.
    constexpr double most_frames = 1e15;
    const auto frames = [&](Seconds time) {
        return static_cast<std::uint64_t>(
            std::llround(std::min(most_frames, time.count() * recording.sample_rate().Hz())));
    };
    if (!(from.count() >= 0.0 && to > from)) throw std::invalid_argument("an excerpt of no time");
    to_skip_ = frames(from);
    to_read_ = frames(to) - to_skip_;
}

std::size_t Excerpt::read(std::span<double> interleaved) {
    const std::size_t room = interleaved.size() / channels();
    while (to_skip_ > 0) {
        const auto wanted = static_cast<std::size_t>(std::min<std::uint64_t>(to_skip_, room));
        const std::size_t skipped = recording_.read(interleaved.first(wanted * channels()));
        if (skipped == 0) return 0;
        to_skip_ -= skipped;
    }
    const auto wanted = static_cast<std::size_t>(std::min<std::uint64_t>(to_read_, room));
    if (wanted == 0) return 0;
    const std::size_t frames = recording_.read(interleaved.first(wanted * channels()));
    to_read_ -= frames;
    return frames;
}

}  // namespace earbudget
