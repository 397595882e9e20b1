#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <numbers>
#include <optional>
#include <span>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/measurement/meters/channel_analyser.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"

namespace earbudget::test {

using Signal = std::vector<double>;
/// As the inner meters take them.
using Samples = std::vector<float>;

inline Samples narrow(std::span<const double> signal) {
    Samples samples(signal.size());
    std::ranges::transform(signal, samples.begin(), [](double x) { return static_cast<float>(x); });
    return samples;
}

inline std::size_t samples_in(double seconds, double rate) {
    return static_cast<std::size_t>(std::lround(seconds * rate));
}

inline Signal silence(double seconds, double rate) {
    return Signal(samples_in(seconds, rate), 0.0);
}

/// A sine; `phase` in radians at the first sample.
inline Signal sine(double hertz, double amplitude, double seconds, double rate,
                   double phase = 0.0) {
    Signal signal(samples_in(seconds, rate));
    for (std::size_t n = 0; n < signal.size(); ++n) {
        const double t = static_cast<double>(n) / rate;
        signal[n] = amplitude * std::sin(2.0 * std::numbers::pi * hertz * t + phase);
    }
    return signal;
}

inline double in_dB(double energy) { return 10.0 * std::log10(energy); }

/// Where the A weighting is 0 dB and F hardly ripples, Hz.
inline constexpr double carrier = 1000.0;

/// A tone at `carrier` whose level re full scale is `level(t)`, t in seconds.
template <class Level>
Signal tone_along(double seconds, double rate, Level level) {
    Signal signal = sine(carrier, 1.0, seconds, rate);
    for (std::size_t n = 0; n < signal.size(); ++n)
        signal[n] *= std::pow(10.0, level(static_cast<double>(n) / rate) / 20.0);
    return signal;
}

/// Independent values, evenly spread between ±amplitude: mean square amplitude² / 3.
inline Signal white_noise(double amplitude, double seconds, double rate, std::uint64_t seed = 1) {
    Signal signal(samples_in(seconds, rate));
    std::uint64_t state = seed * 0x9E3779B97F4A7C15ULL + 1;
    for (double& x : signal) {
        // xorshift64*, whose every draw is the same on every machine.
        state ^= state >> 12U;
        state ^= state << 25U;
        state ^= state >> 27U;
        const auto draw = static_cast<double>((state * 0x2545F4914F6CDD1DULL) >> 11U);
        x = amplitude * (2.0 * std::ldexp(draw, -53) - 1.0);
    }
    return signal;
}

inline Signal operator+(Signal a, const Signal& b) {
    for (std::size_t n = 0; n < std::min(a.size(), b.size()); ++n)
        a[n] += b[n];
    return a;
}

inline Signal operator*(double factor, Signal signal) {
    for (double& x : signal)
        x *= factor;
    return signal;
}

inline Signal followed_by(Signal first, const Signal& second) {
    first.insert(first.end(), second.begin(), second.end());
    return first;
}

/// Faded in and out over `seconds` with half a cosine.
inline Signal faded(Signal signal, double seconds, double rate) {
    const std::size_t length = samples_in(seconds, rate);
    for (std::size_t n = 0; n < std::min(length, signal.size()); ++n) {
        const double part = static_cast<double>(n) / static_cast<double>(length);
        const double gain = 0.5 - 0.5 * std::cos(std::numbers::pi * part);
        signal[n] *= gain;
        signal[signal.size() - 1 - n] *= gain;
    }
    return signal;
}

inline double mean_square(std::span<const double> signal) {
    double sum = 0.0;
    for (const double x : signal)
        sum += x * x;
    return sum / static_cast<double>(signal.size());
}

/// Channels of equal length in memory.
class MemorySource final : public SampleSource {
  public:
    MemorySource(std::vector<Signal> signals, double rate,
                 std::optional<Quantization> quantization = std::nullopt)
        : signals_(std::move(signals)), rate_(rate), quantization_(quantization) {}

    [[nodiscard]] Frequency sample_rate() const override { return Frequency(rate_); }
    [[nodiscard]] std::size_t channels() const override { return signals_.size(); }
    [[nodiscard]] std::optional<Quantization> quantization() const override {
        return quantization_;
    }
    [[nodiscard]] std::size_t read(std::span<double> interleaved) override {
        const std::size_t frames =
            std::min(interleaved.size() / channels(), signals_.front().size() - position_);
        for (std::size_t n = 0; n < frames; ++n) {
            for (std::size_t c = 0; c < channels(); ++c) {
                interleaved[n * channels() + c] = signals_[c][position_ + n];
            }
        }
        position_ += frames;
        return frames;
    }

  private:
    std::vector<Signal> signals_;
    double rate_;
    std::optional<Quantization> quantization_;
    std::size_t position_ = 0;
};

/// The reading of one signal, given in blocks of `block` samples.
inline ChannelReading reading_of(std::span<const double> signal, double rate,
                                 std::size_t block = 4096) {
    ChannelAnalyser analyser(Frequency(rate), std::nullopt);
    while (!signal.empty()) {
        const auto part = signal.first(std::min(block, signal.size()));
        analyser.add(part);
        signal = signal.subspan(part.size());
    }
    return analyser.finish();
}

/// Rates at which recordings are made, Hz.
inline constexpr std::array<double, 8> sampling_rates = {8000,  16000, 22050, 44100,
                                                         48000, 88200, 96000, 192000};

}  // namespace earbudget::test
