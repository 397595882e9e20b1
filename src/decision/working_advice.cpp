#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "decision/working_steps.hpp"
#include "earbudget/decision/day_budget.hpp"
#include "earbudget/decision/shorten.hpp"
#include "earbudget/exposure/uncertainty.hpp"

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

/// Times of some rows: those that stay, and the part that each has of the time asked for.
struct Varying {
    std::vector<Seconds> fixed;
    std::vector<double> part;
};

Varying one_row(const HearingDay& day, std::size_t row) {
    Varying varying{{}, std::vector<double>(day.rows.size(), 0.0)};
    for (std::size_t i = 0; i < day.rows.size(); ++i)
        varying.fixed.push_back(i == row ? Seconds(0.0) : day.rows[i].time);
    varying.part[row] = 1.0;
    return varying;
}

Seconds time_of_sequences(const HearingDay& day) {
    Seconds now(0.0);
    for (const HeardRow& row : day.rows)
        now += row.sequence ? row.time : Seconds(0.0);
    return now;
}

Varying all_sequences(const HearingDay& day) {
    const Seconds now = time_of_sequences(day);
    Varying varying;
    for (const HeardRow& row : day.rows) {
        varying.fixed.push_back(row.sequence ? Seconds(0.0) : row.time);
        varying.part.push_back(row.sequence ? row.time / now : 0.0);
    }
    return varying;
}

/// The first sessions' rows, or those of once a day.
Varying sessions_of(const HearingDay& day) {
    Varying varying;
    for (const HeardRow& row : day.rows) {
        varying.fixed.push_back(row.once_a_day ? row.time : Seconds(0.0));
        varying.part.push_back(row.once_a_day ? 0.0 : row.time.count());
    }
    return varying;
}

void add_lines(const DayBudget& budget, const Varying& varying, const char* rate, StepOf& step) {
    step.columns({"criterion", "limit", "others", rate});
    for (const BudgetLine& line : budget.lines(varying.fixed, varying.part))
        step.row(line.criterion->id, line.limit, line.fixed, line.rate);
}

/// The longest time of a row or of all sequences, raised by `deviations`.
WorkingStep longest_step(const Person& person, const HearingDay& day, const Varying& varying,
                         Seconds most, const std::optional<Seconds>& result, double deviations,
                         StepOf step) {
    const DayBudget budget(person, day, deviations);
    step.value("most_s", most);
    std::vector<Seconds> lasting = varying.fixed;
    for (std::size_t i = 0; i < lasting.size(); ++i)
        lasting[i] += varying.part[i] * most;
    if (budget.has_too_loud_row(lasting)) step.value("above_a_level_never_permitted", "yes");
    if (deviations > 0.0) step.value("levels_raised_by_u_times", deviations);
    add_lines(budget, varying, "rate_per_s", step);
    return step.is(result, "s");
}

StepOf start_longest(const Person& person, const HearingDay& day, std::string what,
                     std::vector<std::string> of) {
    const bool hour = DayBudget(person, day).hour_matters();
    return {std::move(what), std::move(of),
            hour ? formula_of_longest_with_hour : formula_of_longest_time};
}

void work_out_shorten(const Plan& plan, const PersonResult& result, const HearingDay& day,
                      std::size_t n, Working& working) {
    const Advice& advice = result.advice[n];
    const Person& person = *result.person;
    const Varying varying = advice.row ? one_row(day, *advice.row) : all_sequences(day);
    const Seconds most = advice.row ? room_in_a_day(day, *advice.row) : time_of_sequences(day);
    const std::string what =
        advice.row ? "longest time of " + words_of(plan, person, day.rows[*advice.row])
                   : std::string("longest time of all sequences");
    working.push_back(
        longest_step(person, day, varying, most, advice.seconds, 0.0,
                     start_longest(person, day, what, {key_of("advice", n, "seconds")})));
    if (!advice.confident_seconds) return;
    working.push_back(
        longest_step(person, day, varying, most, advice.confident_seconds, confident_deviations(),
                     start_longest(person, day, what + ", probability of being over 5 %",
                                   {key_of("advice", n, "confident_seconds")})));
}

void work_out_drop(const PersonResult& result, const HearingDay& day, std::size_t n,
                   Working& working) {
    const Advice& advice = result.advice[n];
    const HeardRow& row = day.rows[*advice.row];
    const LongestTime longest = longest_time_of_row(*result.person, day, *advice.row);
    working.push_back(
        StepOf("runs that keep the limits", {key_of("advice", n, "repeat")}, runs_in_the_longest)
            .value("longest_s", longest.best_estimate)
            .value("run_s", row.run())
            .is(static_cast<double>(advice.count.value()), "runs"));
}

void work_out_sessions(const PersonResult& result, HearingDay day, std::size_t n,
                       Working& working) {
    const Advice& advice = result.advice[n];
    day.sessions = 1;
    StepOf step("sessions that keep the limits", {key_of("advice", n, "sessions_per_day")},
                most_sessions);
    add_lines(DayBudget(*result.person, day), sessions_of(day), "a_session", step);
    working.push_back(step.is(static_cast<double>(advice.count.value()), "sessions"));
}

void work_out_days(const PersonResult& result, const HearingDay& day, std::size_t n,
                   Working& working) {
    const Advice& advice = result.advice[n];
    const std::vector<std::string> of{key_of("advice", n, "days")};
    const auto days = static_cast<double>(advice.days.value());
    if (advice.count) {
        working.push_back(StepOf("days to spread over", of, days_for_sessions)
                              .value("sessions_now", static_cast<double>(day.sessions))
                              .value("most_sessions", static_cast<double>(*advice.count))
                              .is(days, "days"));
        return;
    }
    const LongestTime longest = longest_time_of_all_sequences(*result.person, day);
    working.push_back(StepOf("days to divide over", of, days_for_time)
                          .value("time_now_s", time_of_sequences(day))
                          .value("longest_s", longest.best_estimate)
                          .is(days, "days"));
}

void work_out_reduction(const PersonResult& result, std::size_t n, Working& working) {
    StepOf step("reduction that is missing", {key_of("advice", n, "added_reduction_dB")},
                missing_reduction);
    step.columns({"criterion", "margin_dB"});
    for (const CriterionResult& criterion : result.criteria) {
        if (criterion.quantity != "peak") step.row(criterion.criterion->id, criterion.margin);
    }
    working.push_back(step.is(std::round(result.advice[n].reduction->dB() * 10.0) / 10.0, "dB"));
}

void work_out_repeats(const Plan& plan, const PersonResult& result, const HearingDay& day,
                      Working& working) {
    const Person& person = *result.person;
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        if (!result.segments[i].repeats_left) continue;
        const HeardRow& row = day.rows[i];
        const LongestTime longest = longest_time_of_row(person, day, i);
        StepOf step =
            start_longest(person, day, "longest time of " + words_of(plan, person, row), {});
        working.push_back(longest_step(person, day, one_row(day, i), room_in_a_day(day, i),
                                       longest.best_estimate, 0.0, std::move(step)));
        working.push_back(StepOf("more runs of " + words_of(plan, person, row),
                                 {key_of("segments", i, "repeats_left")}, formula_of_repeats_left)
                              .value("longest_s", longest.best_estimate)
                              .value("now_s", row.time)
                              .value("run_s", row.run())
                              .is(static_cast<double>(*result.segments[i].repeats_left), "runs"));
    }
}

}  // namespace

void work_out_advice(const Plan& plan, const PersonResult& result, const HearingDay& day,
                     Working& working) {
    work_out_repeats(plan, result, day, working);
    for (std::size_t n = 0; n < result.advice.size(); ++n) {
        const Advice& advice = result.advice[n];
        if (advice.code == "shorten") work_out_shorten(plan, result, day, n, working);
        if (advice.code == "drop-repeats") work_out_drop(result, day, n, working);
        if (advice.code == "fewer-sessions") work_out_sessions(result, day, n, working);
        if (advice.days) work_out_days(result, day, n, working);
        if (advice.reduction) work_out_reduction(result, n, working);
    }
}

}  // namespace earbudget
