#pragma once

#include <cstddef>

namespace earbudget::cost {

// Nanoseconds on one core of the machine measured (x86-64, Release build, user time while both of
// its cores were busy with other work), so chosen that what is counted lies within a factor of 2.5
// of what was measured, and by no more than a fifth below it, over the cases in docs/limits.md
// ("How much is computed"). What is counted is these and not the clock.

inline constexpr double rate_of_draw = 5.5;        ///< one level of one draw for one limit
inline constexpr double kept_rate_of_draw = 0.8;   ///< the same once it is known
inline constexpr double hour_of_draw = 4.0;        ///< one level of one draw kept for an hour
inline constexpr double variable_of_draw = 8.0;    ///< one error of one draw
inline constexpr double time_of_draw = 6.0;        ///< the longest time in one draw, put in order
inline constexpr double row_of_course = 3.0;       ///< one row of a day's course, gone through
inline constexpr double cell_of_window = 2.0;      ///< one segment of one window of an hour
inline constexpr double change_of_window = 0.6;    ///< one change, or window, in one draw
inline constexpr double product_of_window = 0.2;   ///< one segment of one window in one draw
inline constexpr double pair_looked_at = 4.0;      ///< of all measured pairs, to find one
inline constexpr double heard_row = 300.0;         ///< one row of a day put together
inline constexpr double predicted_sound = 3000.0;  ///< one sound through one protector
inline constexpr double errors_of_row = 3000.0;    ///< the errors of one row in one session
inline constexpr double reviewed_criterion = 2e6;  ///< of one thing worn against one card
inline constexpr double judged_row = 40.0;         ///< one row by one criterion, best estimate

/// One level of one draw for all limits with so many exchange rates, beside what it costs by limit:
/// what rates share they share with those of published criteria, of which there are four.
constexpr double of_exchange_rates(std::size_t rates) {
    constexpr double each = 6.5;
    constexpr std::size_t published = 4;
    return rates > published ? each * static_cast<double>(rates - published) : 0.0;
}

/// Finding a pair among all that were measured.
constexpr double of_pairs(std::size_t pairs) { return pair_looked_at * static_cast<double>(pairs); }

}  // namespace earbudget::cost
