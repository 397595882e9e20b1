#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/acoustics/units.hpp"

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
    /// `apart`: the transforms are left to a thread of their own, where there is one.
    explicit SpectrumMeter(Frequency sample_rate, bool apart = false);
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

    /// A thread of its own, and what it works on.
    struct Apart;

    void take_recent();
    void begin_apart();
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
    bool is_apart_;
    std::unique_ptr<Apart> apart_;
};

/// A frequency weighting as a function, such as a_weighting.
using Weighting = LevelDifference (*)(Frequency);

/// Mean square between two frequencies; a bin across an edge counts by the part inside.
[[nodiscard]] double band_mean_square(const PowerSpectrum& spectrum, Frequency from, Frequency to,
                                      Weighting weighting = nullptr);

/// Octave bands that a sampling rate cannot carry: upper edge above half the rate by over 2 %.
///
/// The 2 % keep the 16 kHz band at 44.1 kHz (edge 22387 Hz, half the rate 22050 Hz): around the
/// edge a class 1 filter may fall by 2 to 5.3 dB (IEC 61260-1, table 1; memory), so that the strip
/// missing, 3 % of the band, is within what the standard leaves open.
[[nodiscard]] OctaveMask bands_above_nyquist(Frequency sample_rate);

/// Levels in the octave bands that the sampling rate can carry, re full scale; a band without any
/// energy is absent.
[[nodiscard]] OctaveLevels<quantity::FullScale> octave_levels(const PowerSpectrum& spectrum,
                                                              Frequency sample_rate,
                                                              Weighting weighting = nullptr);

/// The same for one-third-octave bands, unweighted.
[[nodiscard]] ThirdOctaveLevels<quantity::FullScale> third_octave_levels(
    const PowerSpectrum& spectrum, Frequency sample_rate);

/// Whether a sampling rate cannot carry a band that ends at `upper_edge`; see bands_above_nyquist.
[[nodiscard]] bool is_above_nyquist(Frequency upper_edge, Frequency sample_rate);

}  // namespace earbudget
