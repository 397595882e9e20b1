#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "earbudget/acoustics/frequency.hpp"

namespace earbudget {

class PowerTransform;

/// How the mean square of a signal spreads over frequency. Bin k is centred on k · bin_width.
struct PowerSpectrum {
    Frequency bin_width;
    std::vector<double> mean_square;  ///< of each bin; from 0 to half the sampling rate
};

/// Long-time power spectrum with bins at most 1.5 Hz wide; memory does not grow with the signal.
///
/// Windows sin(π/2 · sin²(π·(n + ½)/N)) overlap by half: their squares add up to 1, so that every
/// sample counts exactly once, and they fall off smoothly at both ends (the power-complementary
/// window of the Vorbis I specification, section 1.3.2; memory). At either end of the signal
/// windows hang over. There a signal that repeats itself is continued before the transform, else a
/// tone cut off in mid-wave would splash into distant bins; what the continuation adds to the
/// energy is taken off again.
class SpectrumMeter {
  public:
    explicit SpectrumMeter(Frequency sample_rate);
    SpectrumMeter(SpectrumMeter&&) noexcept;
    SpectrumMeter& operator=(SpectrumMeter&&) noexcept;
    ~SpectrumMeter();

    void add(std::span<const float> block);

    /// The spectrum of all that was added; call once, at the end.
    [[nodiscard]] PowerSpectrum finish();

  private:
    /// Part of the signal, from `begin` to `end`, with what is beyond an end; windows start every
    /// hop from the first sample on.
    struct Overhang {
        std::vector<float> samples;
        std::size_t begin;
        std::size_t end;
    };

    void take_start();
    void take_end();
    void take_overhang(const Overhang& overhang);
    [[nodiscard]] std::vector<float> before(std::span<const float> part, std::size_t length) const;
    [[nodiscard]] Overhang with_past(std::span<const float> part) const;
    void add_future(Overhang& overhang) const;

    Frequency sample_rate_;
    std::unique_ptr<PowerTransform> transform_;
    std::vector<float> first_;   // the first window's samples
    std::vector<float> recent_;  // those that some window has yet to cover
    std::size_t total_ = 0;      // samples of the signal
};

}  // namespace earbudget
