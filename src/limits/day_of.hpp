#pragma once

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// The day that a result was made from, without its warnings.
[[nodiscard]] inline HearingDay day_of(const PersonResult& result) {
    HearingDay day{.rows = {},
                   .sessions = result.person->sessions_per_day,
                   .days_per_week = result.person->days_per_week.value_or(1.0),
                   .method = result.method,
                   .derating = result.derating,
                   .wears = result.person->wears,
                   .wearing = result.person->wearing};
    for (const SegmentResult& segment : result.segments)
        day.rows.push_back(segment.row);
    return day;
}

}  // namespace earbudget
