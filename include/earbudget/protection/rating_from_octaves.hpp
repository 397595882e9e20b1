#pragma once

#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/protection/octave_attenuation.hpp"
#include "earbudget/protection/ratings.hpp"

namespace earbudget {

/// Editions of ISO 4869-2, by which H, M, L and SNR come from octave-band data.
enum class RatingEdition {
    Of1994,  ///< from 63 Hz where there is such a datum; SNR over 91.5 dB in each octave band
    Of2018   ///< from 125 Hz; SNR over 92.0 dB in each octave band
};

inline constexpr Formula formula_of_pnr{"PNR = 100 − 10 lg Σ 10^((LA,f − APV,f)/10)",
                                        "ISO 4869-2:2018, clause 7, table 2, from 125 Hz"};
inline constexpr Formula formula_of_H{"H = 0.25·Σ PNRi − 0.48·Σ di·PNRi, noises 1 to 4",
                                      "ISO 4869-2:2018, clause 7"};
inline constexpr Formula formula_of_M{"M = 0.25·Σ PNRi − 0.16·Σ di·PNRi, noises 5 to 8",
                                      "ISO 4869-2:2018, clause 7"};
inline constexpr Formula formula_of_L{"L = 0.25·Σ PNRi + 0.23·Σ di·PNRi, noises 5 to 8",
                                      "ISO 4869-2:2018, clause 7"};
inline constexpr Formula formula_of_snr_rating{
    "SNR = 100 − 10 lg Σ 10^((LA,f − APV,f)/10), LA,f = 92.0 + Af from 125 Hz, "
    "APV,f = mean − α·sd",
    "ISO 4869-2:2018, clause 8"};

inline constexpr Formula formula_of_pnr_1994{
    formula_of_pnr.text, "ISO 4869-2:1994, clause 7, table 2 (memory), from 63 Hz where stated"};
inline constexpr Formula formula_of_H_1994{formula_of_H.text, "ISO 4869-2:1994, clause 7 (memory)"};
inline constexpr Formula formula_of_M_1994{formula_of_M.text, "ISO 4869-2:1994, clause 7 (memory)"};
inline constexpr Formula formula_of_L_1994{formula_of_L.text, "ISO 4869-2:1994, clause 7 (memory)"};
inline constexpr Formula formula_of_snr_rating_1994{
    "SNR = 100 − 10 lg Σ 10^((LA,f − APV,f)/10), LA,f = 91.5 + Af from 63 Hz where stated, "
    "APV,f = mean − α·sd",
    "ISO 4869-2:1994, clause 8 (memory)"};

/// One band of a sum over bands: level of the noise, attenuation taken off.
struct RatingBand {
    OctaveBand band;
    double level;        ///< A-weighted, dB
    double attenuation;  ///< APV, or for the NRR mean less twice the deviation, dB
};

/// One of the reference noises of ISO 4869-2:2018, table 2.
struct NoiseReduction {
    double d;                       ///< weight in the regressions
    LevelDifference PNR;            ///< predicted noise reduction
    std::vector<RatingBand> bands;  ///< it sums over
};

/// H, M and L from octave-band data (ISO 4869-2:2018, clause 7), not rounded.
/// The data must hold all bands from 125 Hz to 8 kHz. `noises` gets the eight reference noises
/// through the protector where somebody asks how the ratings came about.
[[nodiscard]] Hml compute_hml(const OctaveAttenuation& attenuation, double alpha,
                              RatingEdition edition = RatingEdition::Of2018,
                              std::vector<NoiseReduction>* noises = nullptr);

/// SNR from octave-band data (ISO 4869-2:2018, clause 8), not rounded; bands as for compute_hml.
/// `bands` gets what it sums over.
[[nodiscard]] LevelDifference compute_snr(const OctaveAttenuation& attenuation, double alpha,
                                          RatingEdition edition = RatingEdition::Of2018,
                                          std::vector<RatingBand>* bands = nullptr);

/// To the nearest whole decibel, as H, M, L and SNR are stated (ISO 4869-2:2018, clauses 7, 8).
[[nodiscard]] LevelDifference rounded_as_label(LevelDifference rating);

inline constexpr Formula formula_of_nrr_rating{
    "NRR = 107.9 − 10 lg Σ 10^((100 + Af − (mean − 2·sd))/10) − 3; at 4 and 8 kHz the average of "
    "two means, the sum of two sd",
    "40 CFR 211.207, figure 2"};

/// Noise reduction rating from attenuation by band (40 CFR 211.207, figure 2), not rounded.
///
/// The data must hold all octave bands from 125 Hz to 8 kHz; 63 Hz is not used. At 4 and 8 kHz the
/// rule takes the mean of the data at 3150 and 4000 Hz, of 6300 and 8000 Hz, and the sum of their
/// two standard deviations in the place of twice one; where the data at 3150 or 6300 Hz are
/// missing, the octave band stands alone with twice its own. `bands` gets what it sums over.
[[nodiscard]] LevelDifference compute_nrr(const OctaveAttenuation& attenuation,
                                          std::vector<RatingBand>* bands = nullptr);

/// To the nearest whole decibel, values ending in .5 downwards, as an NRR is stated
/// (40 CFR 211.207).
[[nodiscard]] LevelDifference rounded_as_nrr_label(LevelDifference rating);

}  // namespace earbudget
