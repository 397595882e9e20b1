#pragma once

#include <cstddef>

namespace earbudget::cost {

// Nanoseconds on one core of the machine measured (x86-64 with 512-bit vectors, Release build, user
// time) and a quarter more, each beside what it is of: the best fit to 50 plans of 1 to 100 people,
// 10 to 1000 rows, 2 to 100 criteria and up to 60 things to wear, quiet and loud. What is counted
// with them lies between 0.8 and 2 times the user time of the plans in docs/limits.md ("How much is
// computed"); it is these and not the clock that decide.

// The day, by the best estimate.
inline constexpr double exposure_row = 350.0;      ///< one row of a day put together
inline constexpr double predicted_sound = 1200.0;  ///< one sound through one protector
inline constexpr double judged_row = 25.0;         ///< one row by one criterion
inline constexpr double row_of_course = 3.0;       ///< one row of a day's course, gone through
inline constexpr double pair_looked_at = 4.0;      ///< of all measured pairs, to find one
inline constexpr double reviewed_criterion =
    2.5e5;                                     ///< of one thing worn against one card, all in all
inline constexpr double permitted_time = 1e5;  ///< of that what nothing else below counts

// The draws of its errors.
inline constexpr double errors_of_row = 1800.0;     ///< the errors of one row in one session
inline constexpr double variable_of_draw = 14.0;    ///< one error of one draw
inline constexpr double rate_again = 0.9;           ///< one level of one draw, its factors known
inline constexpr double kept_rate_of_draw = 0.5;    ///< the same once it is known itself
inline constexpr double judged_draw = 4.0;          ///< one limit in one draw, put in order
inline constexpr double time_of_draw = 9.0;         ///< the longest time in one draw, put in order
inline constexpr double bound_of_segment = 1500.0;  ///< moments of one segment's rates
inline constexpr double bound_again = 25.0;         ///< one segment in a bound, its moments known

// The highest hour of the draws.
inline constexpr double hour_of_draw = 1.0;        ///< one level of one draw kept for an hour
inline constexpr double cell_of_window = 4.5;      ///< one segment of one window of an hour
inline constexpr double change_of_window = 1.0;    ///< one change, or window, in one draw
inline constexpr double product_of_window = 0.15;  ///< one segment of one window in one draw

/// One level of one draw, its factors and all, for so many limits with so many exchange rates among
/// them: what is raised to a power for a rate serves all limits that have it, and all segments of
/// one sound.
constexpr double of_rates(double limits, double exchange_rates) {
    constexpr double a_limit = 0.6, a_rate = 5.5;
    return a_limit * limits + a_rate * exchange_rates;
}

/// Of no more segments times exchange rates than these another question finds the factors known
/// (uncertainty/monte_carlo_levels.hpp).
inline constexpr std::size_t most_known = 64;

/// Finding a pair among all that were measured.
constexpr double of_pairs(std::size_t pairs) { return pair_looked_at * static_cast<double>(pairs); }

}  // namespace earbudget::cost
