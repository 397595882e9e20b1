#include <algorithm>

#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/shorten.hpp"
#include "limits/traced.hpp"

namespace earbudget {

void add_lines(const DayBudget& budget, const VariableTimes& varying, const char* rate,
               StepOf& step) {
    step.columns({"criterion", "limit", "others", rate});
    for (const BudgetLine& line : budget.lines(varying.fixed, varying.part))
        step.row(line.criterion->id, line.limit, line.fixed, line.rate);
}

WorkingStep longest_step(const Person& person, const ExposureDay& day, const VariableTimes& varying,
                         Seconds most, const std::optional<Seconds>& result, std::string what,
                         std::vector<std::string> of) {
    const DayBudget budget(person, day);
    StepOf step(std::move(what), std::move(of),
                budget.hour_matters() ? formula_of_longest_with_hour : formula_of_longest_time);
    step.value("most_s", most);
    if (budget.has_too_loud_row(varying.lasting(most)))
        step.value("above_a_level_never_permitted", "yes");
    add_lines(budget, varying, "rate_per_s", step);
    return step.is(result, "s");
}

namespace {

std::string_view worst_peak_of(const PersonResult& result) {
    Verdict worst = Verdict::Within;
    for (const CriterionResult& criterion : result.criteria) {
        if (criterion.is_peak) worst = std::max(worst, criterion.verdict);
    }
    return name_of(worst);
}

}  // namespace

void leave_repeats(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                   Trace& trace) {
    const Person& person = *result.person;
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        const SegmentResult& segment = result.segments[i];
        if (!segment.repeats_left_best_estimate) continue;
        const ExposureRow& row = day.rows[i];
        const LongestTime longest = longest_time_of_row(person, day, i);
        const Trace::About about(trace, topics_of(plan, row));
        trace.leave(longest_step(person, day, one_row(day, i), room_in_a_day(day, i),
                                 longest.best_estimate,
                                 "longest time of " + words_of(plan, person, row), {}));
        const std::string more = "more runs of " + words_of(plan, person, row);
        trace.leave(StepOf(more + " by the best estimate",
                           {key_of("segments", i, "repeats_left_best_estimate")},
                           formula_of_repeats_left)
                        .value("longest_s", longest.best_estimate)
                        .value("now_s", row.time)
                        .value("run_s", row.run())
                        .value("peak", worst_peak_of(result))
                        .is(*segment.repeats_left_best_estimate, "runs"));
        if (segment.repeats_left)
            trace.leave(confident_step(plan, person, more, {key_of("segments", i, "repeats_left")},
                                       static_cast<double>(*segment.repeats_left), "runs",
                                       formula_of_confident_repeats));
    }
}

}  // namespace earbudget
