#include "advice/traced.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "earbudget/limits/shorten.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

constexpr Formula runs_in_the_longest{"floor(longest time / one run)", "docs/methods.md, advice"};
constexpr Formula most_sessions{
    "the largest n with once + n·session <= limit for every limit, no hour above its limit",
    "docs/methods.md, advice; derived"};
constexpr Formula days_for_sessions{"days = ceil(sessions now / most sessions)",
                                    "docs/methods.md, advice"};
constexpr Formula days_for_time{"days = ceil(time now / longest time of all sequences)",
                                "docs/methods.md, advice"};
constexpr Formula missing_reduction{
    "the least x in steps of 0.1 dB with which the level at the ear lowered by x keeps every "
    "exposure limit",
    "search; derived"};

/// The first sessions' rows, or those of once a day.
VariableTimes sessions_of(const ExposureDay& day) {
    VariableTimes varying;
    for (const ExposureRow& row : day.rows) {
        varying.fixed.push_back(row.once_a_day ? row.time : Seconds(0.0));
        varying.part.push_back(row.once_a_day ? 0.0 : row.time.count());
    }
    return varying;
}

void leave_shorten(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                   std::size_t n, Trace& trace) {
    const Advice& advice = result.advice[n];
    const Person& person = *result.person;
    const VariableTimes varying = advice.row ? one_row(day, *advice.row) : all_sequences(day);
    const Seconds most = advice.row ? room_in_a_day(day, *advice.row) : time_of_sequences(day);
    const Message what =
        advice.row ? say<StepPhrase::LongestTime>(words_of(plan, person, day.rows[*advice.row]))
                   : say<StepPhrase::LongestOfAll>();
    trace.leave(longest_step(person, day, varying, most, advice.seconds, what,
                             {key_of("advice", n, "seconds")}));
    if (!advice.confident_seconds) return;
    trace.leave(confident_step(plan, person, say<StepPhrase::Confident>(what),
                               {key_of("advice", n, "confident_seconds")},
                               advice.confident_seconds->count(), "s"));
}

void leave_drop(const Plan& plan, const PersonResult& result, const ExposureDay& day, std::size_t n,
                Trace& trace) {
    const Advice& advice = result.advice[n];
    const ExposureRow& row = day.rows[*advice.row];
    const LongestTime longest = longest_time_of_row(*result.person, day, *advice.row);
    trace.leave(StepOf(say<StepPhrase::RunsThatKeep>(), {key_of("advice", n, "repeat")},
                       runs_in_the_longest)
                    .value("longest_s", longest.best_estimate)
                    .value("run_s", row.run())
                    .is(advice.count.value(), "runs"));
    if (!advice.confident_count) return;
    trace.leave(confident_step(plan, *result.person, say<StepPhrase::ConfidentRuns>(),
                               {key_of("advice", n, "confident_repeat")},
                               static_cast<double>(*advice.confident_count), "runs"));
}

void leave_sessions(const Plan& plan, const PersonResult& result, ExposureDay day, std::size_t n,
                    Trace& trace) {
    const Advice& advice = result.advice[n];
    day.sessions = 1;
    StepOf step(say<StepPhrase::SessionsThatKeep>(), {key_of("advice", n, "sessions_per_day")},
                most_sessions);
    add_lines(DayBudget(*result.person, day), sessions_of(day), "a_session", step);
    trace.leave(step.is(advice.count.value(), "sessions"));
    if (!advice.confident_count) return;
    trace.leave(confident_step(plan, *result.person, say<StepPhrase::ConfidentSessions>(),
                               {key_of("advice", n, "confident_sessions_per_day")},
                               static_cast<double>(*advice.confident_count), "sessions"));
}

void leave_days(const PersonResult& result, const ExposureDay& day, std::size_t n, Trace& trace) {
    const Advice& advice = result.advice[n];
    const std::vector<std::string> of{key_of("advice", n, "days")};
    const auto days = static_cast<double>(advice.days.value());
    if (advice.count) {
        trace.leave(StepOf(say<StepPhrase::DaysToSpread>(), of, days_for_sessions)
                        .value("sessions_now", day.sessions)
                        .value("most_sessions", *advice.count)
                        .is(days, "days"));
        return;
    }
    const LongestTime longest = longest_time_of_all_sequences(*result.person, day);
    trace.leave(StepOf(say<StepPhrase::DaysToDivide>(), of, days_for_time)
                    .value("time_now_s", time_of_sequences(day))
                    .value("longest_s", longest.best_estimate)
                    .is(days, "days"));
}

void leave_reduction(const Plan& plan, const PersonResult& result, std::size_t n, Trace& trace) {
    const Advice& advice = result.advice[n];
    StepOf step(say<StepPhrase::MissingReduction>(), {key_of("advice", n, "added_reduction_dB")},
                missing_reduction);
    step.columns({"criterion", "margin_dB"});
    for (const CriterionResult& criterion : result.criteria) {
        if (criterion.decides && !criterion.is_peak)
            step.row(criterion.criterion->id, criterion.margin);
    }
    trace.leave(step.is(in_tenths(advice.reduction.value()), "dB"));
    if (!advice.confident_reduction) return;
    trace.leave(confident_step(plan, *result.person, say<StepPhrase::ConfidentMissingReduction>(),
                               {key_of("advice", n, "confident_added_reduction_dB")},
                               in_tenths(*advice.confident_reduction), "dB",
                               formula_of_confident_least));
}

}  // namespace

void leave_advice(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                  Trace& trace) {
    leave_repeats(plan, result, day, trace);
    for (std::size_t n = 0; n < result.advice.size(); ++n) {
        const Advice& advice = result.advice[n];
        const Trace::About about(trace, advice.row ? topics_of(plan, day.rows[*advice.row])
                                                   : std::vector<std::string>());
        if (advice.code == AdviceCode::Shorten) leave_shorten(plan, result, day, n, trace);
        if (advice.code == AdviceCode::DropRepeats) leave_drop(plan, result, day, n, trace);
        if (advice.code == AdviceCode::FewerSessions) leave_sessions(plan, result, day, n, trace);
        if (advice.days) leave_days(result, day, n, trace);
        if (advice.reduction) leave_reduction(plan, result, n, trace);
    }
}

}  // namespace earbudget
