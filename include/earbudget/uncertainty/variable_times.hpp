#pragma once

#include <vector>

#include "earbudget/computing/solver.hpp"
#include "earbudget/day/exposure_day.hpp"

namespace earbudget {

/// Rows of a day that last a fixed time and a part of one time T that varies: fixed + part·T.
struct VariableTimes {
    std::vector<Seconds> fixed;
    std::vector<double> part;

    [[nodiscard]] std::vector<Seconds> lasting(Seconds time) const;
};

/// Lets one row alone vary.
[[nodiscard]] VariableTimes one_row(const ExposureDay& day, std::size_t row);

/// Lets the rows with a sequence vary in proportion, T being their time together.
[[nodiscard]] VariableTimes all_sequences(const ExposureDay& day);

/// How long the rows with a sequence last together in a session.
[[nodiscard]] Seconds time_of_sequences(const ExposureDay& day);

/// The times T below `most` with which an hour fits exactly between two row ends of the day: only
/// there can the highest hour begin to rise or fall otherwise.
[[nodiscard]] std::vector<Seconds> times_of_whole_hours(const VariableTimes& variable,
                                                        const std::vector<std::size_t>& course,
                                                        Seconds most);

/// How near the longest time is found where a highest hour decides: less than what is rounded off.
inline constexpr Tolerance<Seconds> near_in_time{Seconds(1e-5)};

/// The time rounded down to a thousandth of a second, so that what is printed still keeps the
/// limit; what is not bounded by a limit stays as it is.
[[nodiscard]] Seconds rounded_down(Seconds time, Seconds most);

}  // namespace earbudget
