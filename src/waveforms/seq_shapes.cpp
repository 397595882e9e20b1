#include "waveforms/seq_shapes.hpp"

#include <cmath>

#include <fmt/format.h>

namespace earbudget::waveforms {

namespace {

/// How often a run goes on; throws where that is no count.
std::uint32_t count_of_run(const std::vector<double>& stored, std::size_t at, std::uint32_t left,
                           const SourcePosition& place) {
    if (at == stored.size()) {
        throw InputError(place,
                         "a compressed shape ends where two values alike should be followed "
                         "by how often they go on; accepted: that number");
    }
    const double count = stored[at];
    if (count < 0.0 || count > left || count != std::floor(count)) {
        throw InputError(place, fmt::format("a compressed shape goes on {:g} times where {} "
                                            "samples are left; accepted: as many values as "
                                            "num_samples says",
                                            count, left));
    }
    return static_cast<std::uint32_t>(count);
}

Shape decompressed(const std::vector<double>& stored, std::uint32_t samples,
                   const SourcePosition& place) {
    Shape shape{samples, {}};
    double value = 0.0;
    std::uint32_t index = 0;
    std::size_t taken = 0;
    while (taken < stored.size()) {
        const double step = stored[taken];
        const bool is_run = taken + 1 < stored.size() && stored[taken + 1] == step;
        const std::uint32_t written = is_run ? 2 : 1;
        if (samples - index < written) break;
        for (std::uint32_t k = 0; k < written; ++k) {
            value += step;
            shape.points.push_back({index++, value});
        }
        taken += written;
        if (!is_run) continue;
        const std::uint32_t more = count_of_run(stored, taken++, samples - index, place);
        value += more * step;
        index += more;
        if (more > 0) shape.points.push_back({index - 1, value});
    }
    if (index != samples || taken != stored.size()) {
        throw InputError(place, fmt::format("what is stored of the shape is not the {} samples "
                                            "that num_samples says; accepted: as many as it says",
                                            samples));
    }
    return shape;
}

}  // namespace

Shape shape_of(const std::vector<double>& stored, std::uint32_t samples, bool may_be_plain,
               const SourcePosition& place) {
    if (!may_be_plain || stored.size() != samples) return decompressed(stored, samples, place);
    Shape shape{samples, {}};
    shape.points.reserve(samples);
    for (std::uint32_t i = 0; i < samples; ++i)
        shape.points.push_back({i, stored[i]});
    return shape;
}

}  // namespace earbudget::waveforms
