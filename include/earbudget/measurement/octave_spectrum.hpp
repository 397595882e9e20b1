#pragma once

#include "earbudget/acoustics/frequency.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/acoustics/octave_levels.hpp"
#include "earbudget/acoustics/third_octave.hpp"
#include "earbudget/measurement/spectrum_meter.hpp"

namespace earbudget {

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
