#pragma once

#include "earbudget/acoustics/frequency.hpp"
#include "earbudget/acoustics/level_difference.hpp"

namespace earbudget {

/// The range in which noise masks a tone at its centre.
struct CriticalBand {
    Frequency from;
    Frequency to;
};

/// 25 + 75 · (1 + 1.4 (f / kHz)²)^0.69 Hz wide; about the tone arithmetically up to 500 Hz and
/// geometrically above, never below 0 Hz (ECMA-74, annex D; memory).
[[nodiscard]] CriticalBand critical_band(Frequency tone);

/// The ratio of a tone's power to that of the noise in its critical band from which on the tone is
/// prominent: 8 dB from 1 kHz up, 8 dB + 8.33 dB · lg(1 kHz / f) below (ECMA-74, annex D; memory).
[[nodiscard]] LevelDifference prominent_tone_to_noise_ratio(Frequency tone);

}  // namespace earbudget
