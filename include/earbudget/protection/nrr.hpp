#pragma once

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/protection/octave_attenuation.hpp"
#include "earbudget/protection/ratings.hpp"

namespace earbudget {

inline constexpr Formula formula_of_nrr_rating{
    "NRR = 107.9 − 10 lg Σ 10^((100 + Af − (mean − 2·sd))/10) − 3; at 4 and 8 kHz the average of "
    "two means, the sum of two sd",
    "40 CFR 211.207, figure 2"};

/// Noise reduction rating from attenuation by band (40 CFR 211.207, figure 2), not rounded.
///
/// The data must hold all octave bands from 125 Hz to 8 kHz; 63 Hz is not used. At 4 and 8 kHz the
/// rule takes the mean of the data at 3150 and 4000 Hz, of 6300 and 8000 Hz, and the sum of their
/// two standard deviations in the place of twice one; where the data at 3150 or 6300 Hz are
/// missing, the octave band stands alone with twice its own.
[[nodiscard]] LevelDifference compute_nrr(const OctaveAttenuation& attenuation);

/// What the NRR sums over.
[[nodiscard]] std::vector<RatingBand> bands_of_nrr(const OctaveAttenuation& attenuation);

/// To the nearest whole decibel, values ending in .5 downwards, as an NRR is stated
/// (40 CFR 211.207).
[[nodiscard]] LevelDifference rounded_as_nrr_label(LevelDifference rating);

}  // namespace earbudget
