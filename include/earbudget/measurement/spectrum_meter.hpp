#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "earbudget/acoustics/frequency.hpp"
#include "earbudget/measurement/real_fft.hpp"

namespace earbudget {

/// How the mean square of a signal spreads over frequency. Bin k is centred on k · bin_width.
struct PowerSpectrum {
    Frequency bin_width;
    std::vector<double> mean_square;  ///< of each bin; from 0 to half the sampling rate
};

/// Long-time power spectrum with bins at most 1.5 Hz wide; memory does not grow with the signal.
///
/// Hann windows overlap by three quarters, so that their squares add up to a constant and every
/// sample counts exactly once. At either end of the signal windows hang over. There a signal that
/// repeats itself is continued before the transform, else a tone cut off in mid-wave would splash
/// into distant bands; what the continuation adds to the energy is taken off again.
class SpectrumMeter {
  public:
    explicit SpectrumMeter(Frequency sample_rate);

    void add(std::span<const double> block);

    /// The spectrum of all that was added; call once, at the end.
    [[nodiscard]] PowerSpectrum finish();

  private:
    /// Part of the signal, from `begin` to `end`, with what is beyond an end; windows start every
    /// hop from the first sample on.
    struct Overhang {
        std::vector<double> samples;
        std::size_t begin;
        std::size_t end;
    };

    void advance();
    void take(std::span<const float> windowed, double scale);
    void take_start();
    void take_end();
    void take_overhang(const Overhang& overhang);
    [[nodiscard]] std::vector<double> before(std::span<const double> part,
                                             std::size_t length) const;
    [[nodiscard]] Overhang with_past(std::span<const double> part) const;
    void add_future(Overhang& overhang) const;

    Frequency sample_rate_;
    std::size_t length_;
    std::size_t hop_;
    RealFft fft_;
    std::vector<float> window_;
    std::vector<double> first_;   // the first `length_` samples
    std::vector<double> recent_;  // the last ones, up to `length_`
    std::vector<float> windowed_;
    std::vector<double> power_;
    std::size_t total_ = 0;  // samples of the signal
};

}  // namespace earbudget
