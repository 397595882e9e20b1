#pragma once

#include <array>
#include <optional>
#include <vector>

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/protection/octave_attenuation.hpp"

namespace earbudget {

/// Ratings of a hearing protector as stated on its label or found in a fit test, in dB.
struct Ratings {
    std::optional<LevelDifference> SNR = std::nullopt;     ///< ISO 4869-2:2018, for 84 % of people
    std::optional<LevelDifference> H = std::nullopt;       ///< ISO 4869-2:2018
    std::optional<LevelDifference> M = std::nullopt;       ///< ISO 4869-2:2018
    std::optional<LevelDifference> L = std::nullopt;       ///< ISO 4869-2:2018
    std::optional<LevelDifference> NRR = std::nullopt;     ///< 40 CFR 211.207
    std::optional<LevelDifference> NRR_SF = std::nullopt;  ///< ANSI S12.6 method B, subject fit
    std::optional<LevelDifference> SLC80 = std::nullopt;   ///< AS/NZS 1270
    std::optional<LevelDifference> PAR = std::nullopt;     ///< personal attenuation rating
};

/// H, M and L of ISO 4869-2:2018.
struct Hml {
    LevelDifference H;
    LevelDifference M;
    LevelDifference L;

    bool operator==(const Hml&) const = default;
};

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

/// The eight reference noises through a protector.
[[nodiscard]] std::array<NoiseReduction, 8> noise_reductions(
    const OctaveAttenuation& attenuation, double alpha,
    RatingEdition edition = RatingEdition::Of2018);

/// H, M and L that follow from them, not rounded.
[[nodiscard]] Hml hml_of(const std::array<NoiseReduction, 8>& noises);

/// What the SNR sums over.
[[nodiscard]] std::vector<RatingBand> bands_of_snr(const OctaveAttenuation& attenuation,
                                                   double alpha,
                                                   RatingEdition edition = RatingEdition::Of2018);

/// H, M and L from octave-band data (ISO 4869-2:2018, clause 7), not rounded.
/// The data must hold all bands from 125 Hz to 8 kHz.
[[nodiscard]] Hml compute_hml(const OctaveAttenuation& attenuation, double alpha,
                              RatingEdition edition = RatingEdition::Of2018);

/// SNR from octave-band data (ISO 4869-2:2018, clause 8), not rounded; bands as for compute_hml.
[[nodiscard]] LevelDifference compute_snr(const OctaveAttenuation& attenuation, double alpha,
                                          RatingEdition edition = RatingEdition::Of2018);

/// To the nearest whole decibel, as H, M, L and SNR are stated (ISO 4869-2:2018, clauses 7, 8).
[[nodiscard]] LevelDifference rounded_as_label(LevelDifference rating);

}  // namespace earbudget
