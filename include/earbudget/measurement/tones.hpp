#pragma once

#include <optional>
#include <vector>

#include "earbudget/acoustics/frequency.hpp"
#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/measurement/spectrum_meter.hpp"

namespace earbudget {

/// A prominent tone of a recording.
struct Tone {
    Frequency frequency;
    LevelFS level;                ///< of the tone alone, averaged over the whole recording
    LevelDifference above_noise;  ///< above the noise of the critical band around it
    unsigned harmonic = 0;  ///< 1 for the fundamental, 2 … for its multiples; 0: of no series
};

/// All prominent tones by frequency.
struct Tones {
    std::vector<Tone> tones;
    /// What their series begins with, where it is itself a tone; see number_harmonics.
    std::optional<Frequency> fundamental;
};

/// Finds the prominent tones from 20 Hz to 0.45 of the sampling rate, fifty at most, the strongest.
///
/// A tone is a peak of the spectrum, seven bins wide at most. Its level is what these hold above
/// the noise, its frequency their centre of gravity. The noise is told from the quieter bins
/// around, so that a dense series of harmonics does not hide itself. Left out is what a stronger
/// tone's window could make beside it, and what is 60 dB below the strongest or
/// below the whole sound. `spectrum` is a
/// SpectrumMeter's.
[[nodiscard]] Tones find_tones(const PowerSpectrum& spectrum);

}  // namespace earbudget
