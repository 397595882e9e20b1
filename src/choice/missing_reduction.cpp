#include "choice/missing_reduction.hpp"

#include <algorithm>

#include "earbudget/limits/day_budget.hpp"

namespace earbudget {

namespace {

// The day with that much less under what the person wears, or could wear who wears nothing: added
// to the reduction as it comes out, and held at 0 then. What no method could predict counts
// unreduced, and what a task says is worn stays.
ExposureDay reduced_by(ExposureDay day, const Person& person, LevelDifference more) {
    for (ExposureRow& row : day.rows) {
        const bool bare_by_task = row.task && person.tasks[*row.task].wears && !row.with_protector;
        if (!row.while_worn || (row.with_protector && !row.prediction) || bare_by_task) continue;
        const LevelDifference now =
            row.prediction ? reduction_as_fitted(row.prediction->before_holding(), row.poor_fit)
                           : LevelDifference(0.0);
        const LevelDifference met = std::max(now + more, LevelDifference(0.0));
        row.while_worn = row.with_unreduced(row.sound->LAeq - met);
        row.at_ear = level_over_wearing_time(*row.outside(), *row.while_worn, row.fraction_worn);
    }
    return day;
}

}  // namespace

std::optional<LevelDifference> missing_reduction(const Person& person, const ExposureDay& day) {
    return least_reduction([&](LevelDifference more) {
        return !DayBudget(person, reduced_by(day, person, more), limits_for_protection(person))
                    .is_over();
    });
}

}  // namespace earbudget
