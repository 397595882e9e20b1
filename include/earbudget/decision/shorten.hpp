#pragma once

#include <optional>

#include "earbudget/decision/assessment.hpp"

namespace earbudget {

/// The longest times of some rows of a day that keep everyone's limits.
struct LongestTime {
    std::optional<Seconds> best_estimate;  ///< within by the best estimate; none: not even at 0 s
    std::optional<Seconds> confident;      ///< over with a probability of 5 % or less; none: not
                                           ///< even at 0 s, or no uncertainty stated
};

/// How long one row may last in a session, all its repeats together, the others unchanged.
/// Solved by halving, then rounded down to a thousandth of a second; at most 24 hours.
[[nodiscard]] LongestTime longest_time_of_row(const Person& person, const HearingDay& day,
                                              std::size_t row);

/// How long all rows with a sequence may last in a session together, each shortened by the same
/// factor, rests unchanged. Solved in the same way; never longer than now.
[[nodiscard]] LongestTime longest_time_of_all_sequences(const Person& person,
                                                        const HearingDay& day);

}  // namespace earbudget
