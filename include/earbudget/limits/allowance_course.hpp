#pragma once

#include <optional>
#include <vector>

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// So much of an allowance is used so long after the day began.
struct AllowancePoint {
    Seconds at;
    double percent;
};

/// What the day uses of one limit as it goes on, in percent of what the limit permits: of a dose in
/// percent of the dose permitted, of a level by energy; for the highest hour and the loudest part
/// by the highest so far. Weekly limits count every day of the week as so far on.
struct AllowanceCourse {
    const Criterion* criterion;  ///< owned by the plan's person
    /// From 0 s to the end of the day, straight lines between; two points at one time are a jump.
    std::vector<AllowancePoint> points = {};
    std::vector<double> after_row = {};             ///< percent at the end of each row of the day
    std::optional<Seconds> reached = std::nullopt;  ///< from when on it is exceeded; none: never
};

/// The courses of a person's day.
struct DayCourse {
    std::vector<std::size_t>
        rows;                   ///< in the order in which they are heard, by index of `segments`
    std::vector<Seconds> ends;  ///< of each, from the beginning of the day
    std::vector<AllowanceCourse> allowances;  ///< one an exposure limit for the person's role

    /// The limit of which most is used at the end of a row; null without limits.
    [[nodiscard]] const AllowanceCourse* tightest_after(std::size_t row) const;

    /// The largest share of any limit at the end of a row; none without limits.
    [[nodiscard]] std::optional<double> highest_after(std::size_t row) const;
};

/// The day that a result was made from, without its warnings.
[[nodiscard]] HearingDay day_of(const PersonResult& result);

/// How a person's day uses each exposure limit. It ends at the value of judge_exposure and reaches
/// a limit exactly where that is over. Peaks are left out, since they do not add up.
[[nodiscard]] DayCourse allowance_course(const PersonResult& result);

}  // namespace earbudget
