#pragma once

#include <memory>
#include <vector>

#include "earbudget/day/exposure_day.hpp"
#include "earbudget/study/plan.hpp"
#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

/// A day of somebody at one visit, and on how many days it is so.
struct DayOfVisit {
    const Plan* plan;
    const Person* person;
    const ExposureDay* day;
    unsigned times = 1;
};

/// Several days as one, for what adds up over them whatever their order: doses and LEX.
struct JoinedDays {
    ExposureDay day;  ///< all rows with all their times, in one session
    std::shared_ptr<const DayErrors> errors;
};

/// Joins the days of one person.
///
/// What a measurement or document, a position, a task's time or the person's own ears bring is
/// common to all days and does not average out: an error of the same kind and name is one variable.
/// Runs, insertions and the fraction of the time worn are another day's own (ErrorKind::Run, Fit,
/// WearingTime). Days that are alike share these too, as all days of `days_per_week` do, so that a
/// visit n times is a plan with n days a week: on the safe side, own choice.
[[nodiscard]] JoinedDays join_days(const std::vector<DayOfVisit>& days);

}  // namespace earbudget
