#pragma once

#include <optional>
#include <vector>

#include "earbudget/decision/day_errors.hpp"

namespace earbudget {

inline constexpr Formula formula_of_combined_parts{
    "u = √(Σ ui²), ui what the errors of one kind add to the exposure as a level",
    "ISO/IEC Guide 98-3, 5.1; ISO 9612, annex C (memory)"};
inline constexpr Formula formula_of_first_order_probability{
    "P = Φ(x/u), x above the limit at the mean of every error", "ISO/IEC Guide 98-3 (memory)"};

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

/// Of a dose, LEX,8h or the loudest part, from the errors of the day; ceilings left out. None for
/// the highest hour, which is no smooth function, and where nothing counts: no
/// sound, or none above a threshold.
[[nodiscard]] std::optional<FirstOrder> first_order(const Criterion& criterion,
                                                    const HearingDay& day, const DayErrors& errors);

/// Whether the probability by draws and that by first order lie further apart than own choice
/// allows, which says that the exposure is far from a normal variable.
inline constexpr double greatest_disagreement = 0.05;
[[nodiscard]] bool disagree(double by_draws, double by_first_order);

}  // namespace earbudget
