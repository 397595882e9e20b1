#include "measurement/calibrator_frames.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "measurement/vector/kernels.hpp"

namespace earbudget {

namespace {

constexpr double frame_seconds = 0.2;
constexpr Frequency lowest_line{200.0};  // below a calibrator's 250 Hz, above hum's first harmonics
constexpr Frequency lowest_counted{10.0};
constexpr std::size_t half_width = 3;  // bins on either side that hold a Hann window's line
constexpr double hann_mean_square = 0.375;

std::size_t bin_of(Frequency f, Frequency bin_width) {
    return static_cast<std::size_t>(std::lround(f / bin_width));
}

double sum(std::span<const double> x) { return std::accumulate(x.begin(), x.end(), 0.0); }

/// Where between bins a line lies, from the two highest values of its Hann-windowed transform
/// (Rife and Vincent 1970, Bell System Technical Journal 49:197; memory).
double position_of_line(std::span<const double> power, std::size_t highest) {
    const double here = std::sqrt(power[highest]);
    const double left = std::sqrt(power[highest - 1]);
    const double right = std::sqrt(power[highest + 1]);
    if (!(here > 0.0)) return static_cast<double>(highest);
    const double ratio = std::max(left, right) / here;
    const double offset = (2.0 * ratio - 1.0) / (ratio + 1.0);
    return static_cast<double>(highest) + (right >= left ? offset : -offset);
}

}  // namespace

CalibratorFrames::CalibratorFrames(Frequency sample_rate, std::optional<Quantization> quantization)
    : sample_rate_(sample_rate),
      hop_(static_cast<std::size_t>(
          std::max(64.0, std::round(0.5 * frame_seconds * sample_rate.Hz())))),
      fft_(2 * hop_),
      windowed_(2 * hop_),
      clipping_(quantization) {}

void CalibratorFrames::add(std::span<const double> block) {
    while (!block.empty()) {
        const std::size_t room = hop_ - recent_.size() % hop_;
        const auto part = block.first(std::min(block.size(), room));
        narrowed_.resize(part.size());
        vector::kernels().narrow(part.data(), 0.0, narrowed_.data(), part.size());
        clipping_.add(narrowed_);
        recent_.insert(recent_.end(), part.begin(), part.end());
        block = block.subspan(part.size());
        if (recent_.size() % hop_ == 0) take_frame();
    }
}

void CalibratorFrames::take_frame() {
    // Flat tops below full scale are known of a whole recording only.
    const Clipping clipping = clipping_.clipping();
    const std::uint64_t stretches = clipping.below_full_scale ? 0 : clipping.stretches;
    if (recent_.size() == length()) {
        CalibratorFrame frame = analyse();
        frame.clipped = stretches > stretches_earlier_;
        frames_.push_back(frame);
        recent_.erase(recent_.begin(), recent_.begin() + static_cast<std::ptrdiff_t>(hop_));
    }
    stretches_earlier_ = stretches_before_;
    stretches_before_ = stretches;
}

CalibratorFrame CalibratorFrames::analyse() {
    const std::size_t length = recent_.size();
    const auto size = static_cast<double>(length);
    const double mean = sum(recent_) / size;
    for (std::size_t n = 0; n < length; ++n) {
        const double phase = 2.0 * std::numbers::pi * static_cast<double>(n) / size;
        windowed_[n] = static_cast<float>((recent_[n] - mean) * (0.5 - 0.5 * std::cos(phase)));
    }
    const auto spectrum = fft_(windowed_);
    std::vector<double> power(spectrum.size());
    for (std::size_t k = 0; k < power.size(); ++k) {
        const auto re = static_cast<double>(spectrum[k].real());
        const auto im = static_cast<double>(spectrum[k].imag());
        power[k] = 2.0 * (re * re + im * im) / (size * size * hann_mean_square);
    }

    const Frequency bin_width = sample_rate_ / size;
    const auto begin = power.begin() + static_cast<std::ptrdiff_t>(bin_of(lowest_line, bin_width));
    const auto end = power.end() - static_cast<std::ptrdiff_t>(half_width + 1);
    const auto highest = static_cast<std::size_t>(std::max_element(begin, end) - power.begin());
    const std::size_t half = highest / 2;
    const auto all = std::span<const double>(power);

    CalibratorFrame frame;
    frame.tone = sum(all.subspan(highest - half_width, 2 * half_width + 1));
    frame.other = std::max(0.0, sum(all.subspan(half)) - frame.tone);
    frame.total = sum(all.subspan(bin_of(lowest_counted, bin_width)));
    frame.frequency = (position_of_line(power, highest) * bin_width).Hz();
    return frame;
}

}  // namespace earbudget
