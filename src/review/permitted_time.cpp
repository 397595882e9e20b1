#include "computing/work_costs.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/shorten.hpp"
#include "earbudget/review/phrases.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "limits/traced.hpp"
#include "review/reviewing.hpp"

namespace earbudget {

namespace {

constexpr Seconds whole_day = Hours(24);
constexpr Seconds rounding_of_times{1e-6};

Message reason_unlimited(const Criterion& criterion, const std::optional<LevelA>& level) {
    const auto& threshold = criterion.rule.threshold;
    if (is_dose(criterion.quantity) && level && !criterion.rule.counts(*level)) {
        return say<ReviewPhrase::BelowThreshold>(*level, *threshold);
    }
    return say<ReviewPhrase::KeepsAllDay>();
}

Message reason_for_none(const Criterion& criterion, const std::optional<LevelA>& level) {
    const ExposureLimit limit(criterion);
    const auto highest = limit.highest_permitted();
    if (!limit.forbids(level)) return say<ReviewPhrase::NoTimeKeeps>();
    return say<ReviewPhrase::AboveHighest>(*level, *highest);
}

PermittedTime permitted_time(const std::optional<Seconds>& in_a_session, unsigned sessions,
                             const Criterion& criterion, const std::optional<LevelA>& level) {
    if (!in_a_session || !(in_a_session->count() > 0.0)) {
        return {PermittedTime::Kind::NoTime, Seconds(0.0), reason_for_none(criterion, level)};
    }
    const Seconds a_day = static_cast<double>(sessions) * *in_a_session;
    if (a_day >= whole_day - rounding_of_times) {
        return {PermittedTime::Kind::Unlimited, whole_day, reason_unlimited(criterion, level)};
    }
    return {PermittedTime::Kind::Limited, a_day, {}};
}

std::optional<LevelA> level_for(const Criterion& criterion, const ExposureDay& day) {
    const ExposureRow& row = day.rows.front();
    return criterion.with_protection ? row.at_ear : row.outside();
}

}  // namespace

Result<ReviewedDays> days_of(const Plan& plan, const std::vector<std::string>& wears,
                             Trace* trace) {
    const Person& person = plan.people.front();
    auto as_rated = day_or_obstacle(plan, person, wears, Wearing{}, trace);
    if (!as_rated) return as_rated.obstacle();
    ReviewedDays days{*std::move(as_rated), std::nullopt};
    if (!wears.empty()) {
        days.poorly_seated =
            day_exposure(plan, person, wears, {.fraction_of_time = 1.0, .poor_fit = true});
    }
    return days;
}

namespace {

std::optional<CriterionResult> peak_at_ear(const Criterion& criterion, const Plan& plan,
                                           const Person& person, const ExposureDay& day) {
    if (!criterion.peak || !criterion.peak->at_ear) return std::nullopt;
    std::vector<Warning> said_by_the_checks;
    return judge_peak(criterion, plan, person, day, said_by_the_checks);
}

/// No time shortens a peak.
void forbid_where_over(const std::optional<CriterionResult>& peak,
                       std::optional<PermittedTime>& time) {
    if (!peak || peak->verdict != Verdict::Over) return;
    time = PermittedTime{PermittedTime::Kind::NoTime, Seconds(0.0),
                         say<ReviewPhrase::PeakAtEarAbove>(*peak->value, peak->limit)};
}

/// Nor does any time make one less probably over.
void forbid_where_close(const std::optional<CriterionResult>& peak, const Policy& policy,
                        std::optional<PermittedTime>& time) {
    if (!peak || peak->by_probability() != Verdict::Close) return;
    time = PermittedTime{PermittedTime::Kind::NoTime, Seconds(0.0),
                         say<ReviewPhrase::NoTimeForPeak>(100.0 * policy.accepted_probability)};
}

constexpr Formula time_a_day{"sessions · T, T the longest time in a session; 24 h at most",
                             "docs/methods.md, review; derived"};

/// Leaves the longest time in a session, then a day.
void leave_time(unsigned sessions, const LongestTime& longest, const Message& what, std::string key,
                const PermittedTime& permitted, Trace& trace) {
    trace.leave(longest.step(say<StepPhrase::LongestInSession>(what), {}));
    trace.leave(StepOf(say<StepPhrase::PermittedADay>(what), {std::move(key)}, time_a_day)
                    .value("sessions", sessions)
                    .value("T_s", longest.best_estimate)
                    .is(permitted.a_day, "s"));
}

/// Leaves how the times of one criterion came about.
void leave_permitted(const Plan& plan, const Person& person, const PermittedByCriterion& by,
                     const LongestTime& longest, const LongestTime& poorly_seated,
                     const PermittedTrace& place) {
    Trace& trace = *place.trace;
    const Trace::About about(trace, {by.criterion->id});
    const Message what = say<StepPhrase::WornBy>(place.worn, by.criterion->id);
    const auto key = [&](std::string_view name) { return key_of("permitted", place.place, name); };
    const unsigned sessions = person.sessions_per_day;
    leave_time(sessions, longest, what, key("seconds_per_day"), *by.best, trace);
    trace.leave(confident_step(plan, person, say<StepPhrase::ConfidentADay>(what),
                               {key("confident_seconds_per_day")}, by.confident->a_day.count(),
                               "s"));
    if (by.poorly_seated)
        leave_time(sessions, poorly_seated, say<StepPhrase::PoorlySeated>(what),
                   key("seconds_per_day_poorly_seated"), *by.poorly_seated, trace);
}

}  // namespace

PermittedByCriterion permitted_by(const Criterion& criterion, std::size_t index, const Plan& plan,
                                  const Person& person, const ReviewedDays& days,
                                  const MonteCarloDay& drawn, const PermittedTrace& trace) {
    WorkMeter::spend(cost::permitted_time);
    PermittedByCriterion result{.criterion = &criterion};
    result.decides = counts_for(criterion, person, limits_for_protection(person));
    Person one = person;  // each is solved on its own
    one.policy.criteria = {criterion};
    const unsigned sessions = person.sessions_per_day;
    const auto level = level_for(criterion, days.as_rated);
    const LongestTime longest = longest_time_of_row(one, days.as_rated, 0, &drawn, index);
    result.best = permitted_time(longest.best_estimate, sessions, criterion, level);
    result.confident = permitted_time(longest.confident, sessions, criterion, level);
    if (result.confident->kind == PermittedTime::Kind::Unlimited) {
        result.confident->reason = say<ReviewPhrase::KeepsAllDay>();
    } else if (result.confident->kind == PermittedTime::Kind::NoTime) {
        result.confident->reason =
            say<ReviewPhrase::NoTimeKeepsSurely>(100.0 * person.policy.accepted_probability);
    }
    LongestTime poor;
    if (days.poorly_seated) {
        poor = longest_time_of_row(one, *days.poorly_seated, 0);
        result.poorly_seated = permitted_time(poor.best_estimate, sessions, criterion,
                                              level_for(criterion, *days.poorly_seated));
        forbid_where_over(peak_at_ear(criterion, plan, person, *days.poorly_seated),
                          result.poorly_seated);
    }
    result.peak = peak_at_ear(criterion, plan, person, days.as_rated);
    forbid_where_over(result.peak, result.best);
    forbid_where_over(result.peak, result.confident);
    forbid_where_close(result.peak, person.policy, result.confident);
    if (trace.trace) leave_permitted(plan, person, result, longest, poor, trace);
    return result;
}

}  // namespace earbudget
