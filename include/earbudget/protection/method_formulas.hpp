#pragma once

#include <optional>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/protection/method.hpp"
#include "earbudget/protection/octave_attenuation.hpp"
#include "earbudget/protection/ratings.hpp"

namespace earbudget {

/// The bands over which the octave-band method sums: 125 Hz to 8 kHz, and 63 Hz where both the
/// sound and the protector have it (ISO 4869-2:2018, clause 6).
[[nodiscard]] OctaveMask bands_of_octave_method(OctaveMask sound, OctaveMask protector);

/// L'A = 10 lg Σ 10^((LA,f − APVf)/10) over bands_of_octave_method (ISO 4869-2:2018, clause 6).
/// Both must hold every band from 125 Hz to 8 kHz.
[[nodiscard]] LevelA level_by_octave_bands(const OctaveLevelsA& sound,
                                           const OctaveAttenuation& attenuation, double alpha);

/// Predicted noise reduction PNR by H, M and L from LC − LA (ISO 4869-2:2018, clause 7).
[[nodiscard]] LevelDifference reduction_by_hml(LevelDifference LC_minus_LA, const Hml& hml);

/// LC − LA at which L and H are read off their regressions (ISO 4869-2:2018, clause 7): the HML
/// method is defined between them.
inline constexpr LevelDifference highest_of_hml{10.0};
inline constexpr LevelDifference lowest_of_hml{-2.0};

/// The same with H, M, L of another protection performance than 84 %. Beyond LC − LA of −2 to 10 dB
/// the lines go on with the slope that H, M, L of 84 % have: the difference of two rounded ratings
/// may grow while both fall, and a stricter performance would give more (own choice).
[[nodiscard]] LevelDifference reduction_by_hml(LevelDifference LC_minus_LA, const Hml& hml,
                                               const Hml& of_labels);

/// That with its source.
inline constexpr Formula formula_of_hml_beyond{
    "PNR = L − (M84 − L84)/8·(LC − LA − 10) above LC − LA = 10 dB, "
    "H + (H84 − M84)/4·(−2 − (LC − LA)) below −2 dB, M84 and the others of 84 %; L'A = LA − PNR",
    "ISO 4869-2:2018, clause 7; beyond −2 to 10 dB this program's own"};

/// L'A = LC − SNR (ISO 4869-2:2018, clause 8).
[[nodiscard]] LevelA level_by_snr(LevelC LC, LevelDifference SNR);

/// Where LA alone is known and no strong low frequencies are stated, SNR takes LC as so much above
/// LA (EN 458; memory).
inline constexpr LevelDifference snr_allowance_with_A{5.0};

/// What LC − LA may be of a sound of which it is not known. EN 458 calls a noise low-frequency from
/// 5 dB (memory); the ends are those of the lines of the HML method (ISO 4869-2, clause 7), which
/// are drawn from −2 to 10 dB.
struct RangeOfCMinusA {
    LevelDifference lowest;
    LevelDifference highest;
};

/// LC − LA from which a noise has strong low frequencies (EN 458; memory).
inline constexpr LevelDifference low_frequency_from{5.0};

/// −2 to 5 dB without strong low frequencies, 5 to 10 dB with them, −2 to 10 dB where nothing is
/// stated (own choice).
[[nodiscard]] RangeOfCMinusA range_of_C_minus_A(std::optional<bool> low_frequency);

inline constexpr Formula formula_of_uncertainty_between{
    "u = |R2 − R1|/√12, R1 and R2 the reductions at the ends of what LC − LA may be",
    "ISO/IEC Guide 98-3, 4.3.7 (clause from memory); the ends an own choice"};

/// Standard uncertainty (k = 1) of a reduction that lies anywhere between two.
[[nodiscard]] LevelDifference uncertainty_between(LevelDifference a, LevelDifference b);

/// L'A = LA + 5 − SNR, where LA alone is known of a noise without strong low frequencies (EN 458;
/// memory).
[[nodiscard]] LevelA level_by_snr_from_A(LevelA LA, LevelDifference SNR);

/// The same on NRR(SF) (memory).
inline constexpr LevelDifference nrr_sf_allowance_with_A{5.0};

/// L'A = LC − NRR (29 CFR 1910.95, appendix B).
[[nodiscard]] LevelA level_by_nrr(LevelC LC, LevelDifference NRR);

/// L'A = LA − (NRR − 7), where only the A-weighted level is known (29 CFR 1910.95, appendix B);
/// some deratings take another allowance than 7.
[[nodiscard]] LevelA level_by_nrr(LevelA LA, LevelDifference NRR,
                                  LevelDifference allowance = nrr_allowance_with_A);

/// L'A = LC − NRR(SF), NRR(SF) by ANSI S12.6 method B (memory).
[[nodiscard]] LevelA level_by_nrr_sf(LevelC LC, LevelDifference NRR_SF);

/// L'A = LA − (NRR(SF) − 5), where only the A-weighted level is known (memory).
[[nodiscard]] LevelA level_by_nrr_sf(LevelA LA, LevelDifference NRR_SF);

/// L'A = LC − SLC80 (AS/NZS 1269.3, memory).
[[nodiscard]] LevelA level_by_slc80(LevelC LC, LevelDifference SLC80);

/// L'A = LA − PAR, an individual's result of a quantitative fit test (NIOSH 2025-104).
[[nodiscard]] LevelA level_by_par(LevelA LA, LevelDifference PAR);

}  // namespace earbudget
