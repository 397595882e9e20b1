#pragma once

#include <optional>
#include <vector>

#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

inline constexpr Formula formula_of_combined_parts{
    "u = √(Σ ui²), ui what the errors of one kind add to the exposure as a level",
    "ISO/IEC Guide 98-3, 5.1; ISO 9612:2009, annex C (memory)"};
inline constexpr Formula formula_of_part{
    "ui = √(Σ n·(Σ c·size)²), the inner sum over the rows that one error is common to, n errors "
    "alike; c what the exposure as a level changes with 1 dB of the error: through + without of "
    "its "
    "row, divided among sessions, for a level outside; −through for a reduction, 0 where that is "
    "held at 0 or at 10 dB; for 1 of the fraction worn or of a task's time; size of attenuation "
    "between people dR/dz",
    "ISO/IEC Guide 98-3, 5.1; ISO 9612:2009, annex C (memory)"};
inline constexpr Formula formula_of_shares_of_parts{
    "share of u² in percent 100·ui²/Σ ui²",
    "ISO/IEC Guide 98-3, 5.1; ISO 9612:2009, annex C (memory)"};
inline constexpr Formula formula_of_R_at_the_mean{
    "R at the mean = R + 10 lg Σ 10^((LA − APV)/10) − 10 lg Σ 10^((LA − mean)/10), APV = mean + "
    "z0·sd, z0 the z that the method assumes of people; not below 0, poorly seated not above 10 dB",
    "ISO 4869-2:2018, clause 6; docs/uncertainty.md"};
inline constexpr Formula formula_of_R_of_a_label{
    "R at the mean = R − z0·sd, z0 the z that the method assumes of people; not below 0, poorly "
    "seated not above 10 dB",
    "docs/uncertainty.md"};
inline constexpr Formula formula_of_R_without_spread{
    "R at the mean = R: no spread between people is counted; not below 0, poorly seated not above "
    "10 dB",
    "docs/uncertainty.md"};
inline constexpr Formula formula_of_slope{
    "dR/dz = Σ sd·10^((LA − mean)/10) / Σ 10^((LA − mean)/10); of a label alone sd",
    "derived from ISO 4869-2:2018, clause 6; docs/uncertainty.md"};
inline constexpr Formula formula_of_first_order_probability{
    "P = Φ(x/u), x above the limit at the mean of every error; without uncertainty 1 above it, "
    "else 0",
    "ISO/IEC Guide 98-3 (memory)"};

inline constexpr Formula formula_of_mean_dose{
    "x = q·log2(Σ Ci/Ti · 100/limit), Ci = Ti·w through the protector and Ti·(1 − w) without, each "
    "with its permitted time hours/2^((L − level)/q), L = Li − Ri and Li at the mean of every "
    "error",
    "NIOSH 98-126, 1.1.1; what is unreduced is added to either level by energy "
    "(docs/uncertainty.md)"};
inline constexpr Formula formula_of_mean_level{
    "x = 10 lg(Σ ti/T0·(w·10^((Li − Ri)/10) + (1 − w)·10^(Li/10))) − limit, Li and Ri at the mean "
    "of "
    "every error",
    "ISO 9612:2009, clause 9, under protectors Directive 2003/10/EC, article 3(2); what is "
    "unreduced is "
    "added to either level by energy "
    "(docs/uncertainty.md)"};
inline constexpr Formula formula_of_mean_loudest{
    "x = the highest 10 lg(w·10^((Li − Ri)/10) + (1 − w)·10^(Li/10)) − limit, Li and Ri at the "
    "mean "
    "of every error",
    "maximum; what is unreduced is added to either level by energy (docs/uncertainty.md)"};

/// What one kind of error adds to the uncertainty of an exposure.
struct ErrorShare {
    ErrorKind kind;
    LevelDifference standard;  ///< k = 1
    double share_of_variance;  ///< 0 to 1
};

/// An exposure by first-order propagation (ISO/IEC Guide 98-3, 5.1; clause from memory).
struct FirstOrder {
    /// Above the limit at the mean of every error (z = 0), as a level: of a dose, by its exchange
    /// rate.
    LevelDifference above_limit;
    LevelDifference standard{0.0};       ///< of that level, k = 1
    double probability_over = 0.0;       ///< normal about that level
    std::vector<ErrorShare> parts = {};  ///< largest first; those that are 0 left out
};

/// What one error of one segment adds to an exposure as a level.
struct Sensitivity {
    std::size_t segment;   ///< of the day's errors
    std::size_t variable;  ///< likewise
    double coefficient;    ///< dB of the exposure for 1 dB of it; for 1 of the fraction worn
    double size;           ///< of the error, for one standard deviation
};

/// What a second of a segment adds to the exposure at the mean of every error.
struct MeanAmount {
    double through = 0.0;  ///< while something is worn that counts
    double without = 0.0;
};

/// What an exposure by first order was made of, for its working.
struct MeanDay {
    const DayErrors* errors = nullptr;  ///< of the day; null where there is no such exposure
    std::vector<MeanAmount> amounts =
        {};  ///< one a segment; 0 but of the loudest, where that counts
    /// ui = √(Σ (Σ coefficient·size)²), the inner sum over one variable.
    std::vector<Sensitivity> slopes = {};
};

/// Propagates the errors of the day to a dose, LEX,8h or the loudest part, ceilings left out. None
/// for the highest hour, which is no smooth function, and where nothing counts: no sound, or none
/// above a threshold. Leaves what it was made of in `mean`, which then points to the
/// errors.
[[nodiscard]] std::optional<FirstOrder> first_order(const Criterion& criterion,
                                                    const ExposureDay& day, const DayErrors& errors,
                                                    MeanDay* mean = nullptr);

/// What a protector takes off at the mean of every error: of people too, not those that the method
/// assumes.
[[nodiscard]] LevelDifference mean_reduction(const SegmentProtection& protection);

/// Whether the probability by draws and that by first order lie further apart than own choice
/// allows, which says that the exposure is far from a normal variable.
inline constexpr double greatest_disagreement = 0.05;
[[nodiscard]] bool disagree(double by_draws, double by_first_order);

}  // namespace earbudget
