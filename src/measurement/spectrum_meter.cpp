#include "earbudget/measurement/spectrum_meter.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

#include "earbudget/measurement/likely_past.hpp"

namespace earbudget {

namespace {

constexpr Frequency widest_bin{1.5};
constexpr std::size_t overlapping = 4;  // windows over each sample
constexpr double sum_of_squared_windows = 0.375 * static_cast<double>(overlapping);

std::vector<float> hann(std::size_t length) {
    std::vector<float> window(length);
    for (std::size_t n = 0; n < length; ++n) {
        const double phase =
            2.0 * std::numbers::pi * static_cast<double>(n) / static_cast<double>(length);
        window[n] = static_cast<float>(0.5 - 0.5 * std::cos(phase));
    }
    return window;
}

double square(float x) { return static_cast<double>(x) * static_cast<double>(x); }

}  // namespace

SpectrumMeter::SpectrumMeter(Frequency sample_rate)
    : sample_rate_(sample_rate),
      length_(std::bit_ceil(static_cast<std::size_t>(std::ceil(sample_rate / widest_bin)))),
      hop_(length_ / overlapping),
      fft_(length_),
      window_(hann(length_)),
      windowed_(length_),
      power_(length_ / 2 + 1, 0.0) {
    first_.reserve(length_);
    recent_.reserve(length_);
}

void SpectrumMeter::add(std::span<const double> block) {
    total_ += block.size();
    while (!block.empty()) {
        const auto part = block.first(std::min(block.size(), length_ - recent_.size()));
        recent_.insert(recent_.end(), part.begin(), part.end());
        block = block.subspan(part.size());
        if (recent_.size() == length_) advance();
    }
}

/// Takes the spectrum of a full window and makes room for the next hop.
void SpectrumMeter::advance() {
    if (first_.empty()) first_ = recent_;
    for (std::size_t n = 0; n < length_; ++n) {
        windowed_[n] = window_[n] * static_cast<float>(recent_[n]);
    }
    take(windowed_, 1.0);
    recent_.erase(recent_.begin(), recent_.begin() + static_cast<std::ptrdiff_t>(hop_));
}

void SpectrumMeter::take(std::span<const float> windowed, double scale) {
    const auto spectrum = fft_(windowed);
    for (std::size_t k = 0; k < power_.size(); ++k) {
        power_[k] += scale * (square(spectrum[k].real()) + square(spectrum[k].imag()));
    }
}

void SpectrumMeter::take_overhang(const Overhang& overhang) {
    for (std::size_t start = 0; start + length_ <= overhang.samples.size(); start += hop_) {
        double inside = 0.0;
        double all = 0.0;
        for (std::size_t n = 0; n < length_; ++n) {
            windowed_[n] = window_[n] * static_cast<float>(overhang.samples[start + n]);
            const bool of_signal = start + n >= overhang.begin && start + n < overhang.end;
            if (of_signal) inside += square(windowed_[n]);
            all += square(windowed_[n]);
        }
        if (all > 0.0) take(windowed_, inside / all);
    }
}

/// What precedes part of the signal if it repeats itself, else zeros.
std::vector<double> SpectrumMeter::before(std::span<const double> part, std::size_t length) const {
    auto past = recurring_past(part, sample_rate_, length);
    return past ? *std::move(past) : std::vector<double>(length, 0.0);
}

/// The first part of the signal, and before it what the first window still covers.
SpectrumMeter::Overhang SpectrumMeter::with_past(std::span<const double> part) const {
    Overhang overhang{before(part, length_ - hop_), length_ - hop_, length_ - hop_ + part.size()};
    overhang.samples.insert(overhang.samples.end(), part.begin(), part.end());
    return overhang;
}

/// After the last part of the signal, what the last window that touches it still covers.
void SpectrumMeter::add_future(Overhang& overhang) const {
    const std::size_t last_start = (overhang.end - 1) / hop_ * hop_;
    const std::size_t length = last_start + length_ - overhang.samples.size();
    const std::vector<double> backwards(
        overhang.samples.rbegin(),
        overhang.samples.rend() - static_cast<std::ptrdiff_t>(overhang.begin));
    const auto future = before(backwards, length);
    overhang.samples.insert(overhang.samples.end(), future.rbegin(), future.rend());
}

void SpectrumMeter::take_start() {
    Overhang overhang = with_past(first_);
    // The window after the three that hang over was a full one.
    overhang.end = 2 * (length_ - hop_);
    overhang.samples.resize(overhang.end);
    take_overhang(overhang);
}

void SpectrumMeter::take_end() {
    const bool short_signal = first_.empty();
    Overhang overhang = short_signal ? with_past(recent_) : Overhang{recent_, 0, recent_.size()};
    add_future(overhang);
    take_overhang(overhang);
}

PowerSpectrum SpectrumMeter::finish() {
    PowerSpectrum result{sample_rate_ / static_cast<double>(length_), {}};
    if (total_ > 0) {
        if (!first_.empty()) take_start();
        take_end();
        const double scale = 1.0 / (static_cast<double>(length_) * sum_of_squared_windows *
                                    static_cast<double>(total_));
        for (std::size_t k = 0; k < power_.size(); ++k) {
            const bool alone = k == 0 || k + 1 == power_.size();  // all others stand for two
            power_[k] *= (alone ? 1.0 : 2.0) * scale;
        }
    }
    result.mean_square = std::move(power_);
    return result;
}

}  // namespace earbudget
