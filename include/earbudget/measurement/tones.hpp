#pragma once

#include <optional>
#include <span>
#include <vector>

#include "earbudget/acoustics/frequency.hpp"
#include "earbudget/acoustics/level.hpp"
#include "earbudget/measurement/spectrum_meter.hpp"

namespace earbudget {

/// A long-time spectrum and where tones are to be taken from it: fine bins tell low tones apart,
/// few coarse ones do for high tones.
struct SpectrumPart {
    const PowerSpectrum& spectrum;
    Frequency from;
    Frequency to;
};

/// A prominent steady tone.
struct Tone {
    Frequency frequency;
    LevelFS level;                ///< unweighted
    LevelDifference above_noise;  ///< of its critical band without other tones; at most 120 dB
    unsigned harmonic = 0;        ///< 1: the fundamental; 2 and up: its harmonics; 0: neither
};

/// The tones in a sound by rising frequency, the 50 strongest at most.
struct Tones {
    std::vector<Tone> tones;
    /// Only when it is itself prominent; may be too weak to be one of the 50.
    std::optional<Frequency> fundamental;
};

/// The lines of the spectra that stand out of the noise in their critical band far enough to be
/// prominent (ECMA-74, annex D; memory) and lie at most 60 dB below the strongest one and below the
/// whole sound.
///
/// The spectra may stem from any bell-shaped window with a main lobe of at most three bins to
/// either side. Tones at least five bins apart are told apart. Noise, sweeps and bands of noise are
/// no lines; a tone that wavers by more than about three bins is none either. How the harmonics are
/// numbered: number_harmonics in harmonics.hpp.
[[nodiscard]] Tones find_tones(std::span<const SpectrumPart> parts);

}  // namespace earbudget
