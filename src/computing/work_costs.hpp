#pragma once

#include <cstddef>

namespace earbudget::cost {

// Nanoseconds on one core of the machine measured (x86-64, Release build, user time), each beside
// what it is of. What is counted with them lies within a factor of 1.5 of the user time of the
// plans in docs/limits.md ("How much is computed"); it is these and not the clock that decide.

// The day, by the best estimate.
inline constexpr double exposure_row = 300.0;      ///< one row of a day put together
inline constexpr double predicted_sound = 3000.0;  ///< one sound through one protector
inline constexpr double judged_row = 40.0;         ///< one row by one criterion
inline constexpr double row_of_course = 3.0;       ///< one row of a day's course, gone through
inline constexpr double pair_looked_at = 4.0;      ///< of all measured pairs, to find one
inline constexpr double reviewed_criterion =
    2e6;                                       ///< of one thing worn against one card, all in all
inline constexpr double permitted_time = 1e6;  ///< of that what nothing else below counts

// The draws of its errors.
inline constexpr double errors_of_row = 3000.0;   ///< the errors of one row in one session
inline constexpr double variable_of_draw = 8.0;   ///< one error of one draw
inline constexpr double rate_again = 2.2;         ///< one level of one draw, its factors known
inline constexpr double kept_rate_of_draw = 0.8;  ///< the same once it is known itself
inline constexpr double time_of_draw = 6.0;       ///< the longest time in one draw, put in order
inline constexpr double bound_of_segment = 1500.0;  ///< moments of one segment's rates
inline constexpr double bound_again = 25.0;         ///< one segment in a bound, its moments known

// The highest hour of the draws.
inline constexpr double hour_of_draw = 4.0;       ///< one level of one draw kept for an hour
inline constexpr double cell_of_window = 6.0;     ///< one segment of one window of an hour
inline constexpr double change_of_window = 0.6;   ///< one change, or window, in one draw
inline constexpr double product_of_window = 0.2;  ///< one segment of one window in one draw

/// One level of one draw, its factors and all, for so many limits with so many exchange rates among
/// them: what is raised to a power for a rate serves all limits that have it, and all segments of
/// one sound.
constexpr double of_rates(double limits, double exchange_rates) {
    constexpr double a_limit = 2.5, a_rate = 11.5;
    return a_limit * limits + a_rate * exchange_rates;
}

/// Of no more segments times exchange rates than these another question finds the factors known
/// (uncertainty/monte_carlo_levels.hpp).
inline constexpr std::size_t most_known = 64;

/// Finding a pair among all that were measured.
constexpr double of_pairs(std::size_t pairs) { return pair_looked_at * static_cast<double>(pairs); }

}  // namespace earbudget::cost
