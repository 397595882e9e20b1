#include <algorithm>
#include <cmath>

#include "advice/advising.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/computing/solver.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

namespace {

/// More days than a working week are no advice that anybody follows (own choice).
constexpr unsigned most_days = 5;

constexpr double days_of_a_week = 7.0;

constexpr Formula most_sessions{
    "the largest n with once + n·session <= limit for every limit, no hour above its limit",
    "docs/methods.md, advice; derived"};
constexpr Formula days_for_sessions{"days = ceil(sessions now / most sessions)",
                                    "docs/methods.md, advice"};
constexpr Formula days_for_time{"days = ceil(time now / longest time of all sequences)",
                                "docs/methods.md, advice"};

unsigned rounded_up(unsigned sessions, unsigned a_day) { return (sessions + a_day - 1) / a_day; }

/// Whether a limit is exceeded when a day becomes several like `day`: what is heard once a day is
/// then heard on each of them, and a week has more of them.
bool is_over_on_more_days(const Person& person, ExposureDay day, unsigned days) {
    day.days_per_week = std::min(days_of_a_week, std::max(day.days_per_week, 1.0) * days);
    return is_over_any(person, day);
}

void spread_sessions(Advising& on, unsigned now, unsigned most) {
    const unsigned days = rounded_up(now, most);
    if (days > most_days) return;
    ExposureDay spread = on.day;
    spread.sessions = rounded_up(now, days);
    if (is_over_on_more_days(on.person, spread, days)) return;
    on.leave(StepOf(say<StepPhrase::DaysToSpread>(), on.key("days"), days_for_sessions)
                 .value("sessions_now", now)
                 .value("most_sessions", most)
                 .is(days, "days"));
    on.advice.push_back({.code = AdviceCode::SpreadDays,
                         .says = {say<AdvicePhrase::SpreadSessions>(now, days, most, on.close_at_best())},
                         .count = most,
                         .days = days});
}

void divide_session(Advising& on) {
    const LongestTime longest = longest_time_of_all_sequences(on.person, on.day);
    if (!longest.best_estimate || !(longest.best_estimate->count() > 0.0)) return;
    const Seconds now = time_of_sequences(on.day);
    const double days = std::ceil(now / *longest.best_estimate);
    if (days < 2.0 || days > most_days) return;
    ExposureDay divided = on.day;
    for (ExposureRow& row : divided.rows) {
        if (row.sequence) row.time /= days;
    }
    if (is_over_on_more_days(on.person, divided, static_cast<unsigned>(days))) return;
    on.leave(StepOf(say<StepPhrase::DaysToDivide>(), on.key("days"), days_for_time)
                 .value("time_now_s", now)
                 .value("longest_s", longest.best_estimate)
                 .is(days, "days"));
    on.advice.push_back({.code = AdviceCode::SpreadDays,
                         .says = {days == 2.0
                                      ? say<AdvicePhrase::DivideInTwo>(on.close_at_best())
                                      : say<AdvicePhrase::DivideSession>(days, on.close_at_best())},
                         .days = static_cast<unsigned>(days)});
}

/// How many sessions keep the limits, from what each limit leaves beside what is heard once a day.
void leave_sessions(const Advising& on, const DayBudget& budget, unsigned most,
                    unsigned confident) {
    if (!on.trace) return;
    VariableTimes varying;
    for (const ExposureRow& row : on.day.rows) {
        varying.fixed.push_back(row.once_a_day ? row.time : Seconds(0.0));
        varying.part.push_back(row.once_a_day ? 0.0 : row.time.count());
    }
    StepOf step(say<StepPhrase::SessionsThatKeep>(), on.key("sessions_per_day"), most_sessions);
    add_lines(budget.lines(varying.fixed, varying.part, 1), "a_session", step);
    on.leave(step.is(most, "sessions"));
    on.leave_confident(say<StepPhrase::ConfidentSessions>(), "confident_sessions_per_day",
                       confident, "sessions");
}

}  // namespace

void advise_fewer_sessions(Advising& on) {
    const DayBudget budget(on.person, on.day);
    const unsigned now = budget.sessions();
    // 0: not even one does.
    const unsigned most = most_that_keeps(
        0U, now, [&](unsigned sessions) { return !budget.is_over(budget.times(), sessions); });
    if (most == 0) divide_session(on);
    if (most == 0 || most == now) return;
    const unsigned confident = most_that_keeps(0U, most, [&](unsigned sessions) {
        return !on.drawn.perhaps_over({.sessions = sessions});
    });
    leave_sessions(on, budget, most, confident);
    Advice fewer{.code = AdviceCode::FewerSessions,
                 .says = {say<AdvicePhrase::FewerSessions>(most, now)},
                 .count = most,
                 .confident_count = confident};
    if (confident < most) {
        const double percent = on.accepted_percent();
        fewer.says.push_back(confident == 0
                                 ? say<AdvicePhrase::NotEvenOneSession>(percent)
                                 : say<AdvicePhrase::SessionsThatKeep>(confident, percent));
        on.add_why_far_apart(most, confident, fewer.says);
    }
    on.advice.push_back(std::move(fewer));
    spread_sessions(on, now, most);
}

}  // namespace earbudget
