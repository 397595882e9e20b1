#include "uncertainty/monte_carlo_state.hpp"

#include <algorithm>
#include <cmath>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"

namespace earbudget {

namespace {

std::vector<ExposureLimit> limits_of(const Person& person, const ExposureDay& day) {
    std::vector<ExposureLimit> limits;
    for (const Criterion& criterion : person.policy.criteria)
        limits.emplace_back(criterion, criterion.days_counted(day.days_per_week));
    return limits;
}

// Draws leave no doubt where their share lies this many of its standard deviations away.
constexpr double without_doubt = 5.0;

}  // namespace

Eigen::Index accepted_draws(Eigen::Index draws, double accepted) {
    return static_cast<Eigen::Index>(
        std::floor(accepted * static_cast<double>(draws) + arithmetic_slack));
}

MonteCarloDay::State::State(const Plan& of, const Person& whose, const ExposureDay& exposed,
                            const DrawSettings& drawn_by)
    : plan(of),
      person(whose),
      day(exposed),
      settings(drawn_by),
      errors(errors_of_day(plan, person, exposed)),
      variables(errors.variables, settings),
      limits(errors, variables, limits_of(person, exposed),
             static_cast<Eigen::Index>(settings.draws), settings.threads),
      now(limits.limits().size()),
      loud_hours(limits.limits().size()) {}

SegmentTimes MonteCarloDay::State::times_of(std::span<const Seconds> times, unsigned sessions,
                                            bool in_order) const {
    SegmentTimes result{.seconds = std::vector<double>(errors.segments.size(), 0.0)};
    WorkMeter::spend(cost::row_of_course * static_cast<double>(day.rows.size() * (sessions + 1)));
    const auto add = [&](bool once_a_day, unsigned session) {
        for (std::size_t row = 0; row < day.rows.size(); ++row) {
            if (day.rows[row].once_a_day != once_a_day) continue;
            const auto segment = errors.segment_of(row, session);
            if (segment) result.seconds[*segment] += times[row].count();
            if (in_order) result.course.push_back({segment, times[row]});
        }
    };
    add(true, 0);
    for (unsigned session = 0; session < sessions; ++session)
        add(false, session);
    return result;
}

std::vector<MonteCarloOutcome> MonteCarloDay::State::outcomes(const DayChange& change,
                                                              const std::vector<bool>& wanted,
                                                              bool only_over) const {
    std::vector<Seconds> as_it_is;
    if (!change.times) {
        for (const ExposureRow& row : day.rows)
            as_it_is.push_back(row.time);
    }
    bool in_order = false;
    for (std::size_t i = 0; i < wanted.size(); ++i)
        in_order = in_order || (wanted[i] && accumulation(i) == Accumulation::HighestHour);
    return limits.outcomes(
        times_of(change.times.value_or(as_it_is), change.sessions.value_or(day.sessions), in_order),
        change.added, wanted, only_over);
}

MonteCarloOutcome MonteCarloDay::State::outcome(std::size_t criterion,
                                                const DayChange& change) const {
    std::vector<bool> wanted(limits.limits().size(), false);
    wanted.at(criterion) = true;
    return std::move(outcomes(change, wanted)[criterion]);
}

const MonteCarloOutcome& MonteCarloDay::State::outcome_now(std::size_t criterion) const {
    if (now.at(criterion).used.size() == 0) {
        std::vector<bool> sums = wanted_by(Limits::All);
        for (std::size_t i = 0; i < sums.size(); ++i)
            sums[i] = i == criterion || (sums[i] && accumulation(i) == Accumulation::Sum);
        now = outcomes({}, sums);
    }
    return now[criterion];
}

double MonteCarloDay::State::highest_probability(const DayChange& change,
                                                 const std::vector<bool>& wanted) const {
    double highest = 0.0;
    for (const MonteCarloOutcome& outcome : outcomes(change, wanted, true)) {
        if (outcome.used.size() == 0) continue;
        highest = std::max(highest, share_of(outcome.over().count(), outcome.used.size()));
    }
    return highest;
}

SureProbability MonteCarloDay::State::sure_probability(const DayChange& change,
                                                       const std::vector<bool>& wanted) const {
    return surely([&](const State& by) { return by.highest_probability(change, wanted); });
}

bool MonteCarloDay::State::is_over(const DayChange& change, const std::vector<bool>& wanted) const {
    return is_above(sure_probability(change, wanted).value, accepted());
}

bool MonteCarloDay::State::is_plainly_within(const DayChange& change,
                                             const std::vector<bool>& wanted) const {
    if (settings.draws <= few_draws) return false;
    const State& fewer = by(few, few_draws);
    const double share = fewer.highest_probability(change, wanted);
    return fewer.is_beyond_doubt(share) && !is_above(share, accepted());
}

bool MonteCarloDay::State::is_plainly_over(const DayChange& change,
                                           const std::vector<bool>& wanted) const {
    const auto plainly = [&](const State& by) {
        const double share = by.highest_probability(change, wanted);
        return by.is_beyond_doubt(share) && is_above(share, accepted());
    };
    if (settings.draws > few_draws && plainly(by(few, few_draws))) return true;
    return settings.draws_of_times > settings.draws && plainly(*this);
}

SureProbability MonteCarloDay::State::surely(
    const std::function<double(const State&)>& share) const {
    if (settings.draws > few_draws) {
        const State& fewer = by(few, few_draws);
        const double by_few = share(fewer);
        if (fewer.is_beyond_doubt(by_few)) return {by_few, few_draws};
    }
    const double by_these = share(*this);
    const State& more = by_many();
    if (&more == this || is_beyond_doubt(by_these)) return {by_these, settings.draws};
    return {share(more), more.settings.draws};
}

bool MonteCarloDay::State::is_beyond_doubt(double share) const {
    const double accept = accepted();
    const double deviation =
        std::sqrt(accept * (1.0 - accept) / static_cast<double>(settings.draws));
    return std::abs(share - accept) > without_doubt * deviation;
}

const MonteCarloDay::State& MonteCarloDay::State::by(std::unique_ptr<const State>& other,
                                                     std::size_t draws_of_other) const {
    if (!other) {
        DrawSettings changed = settings;
        changed.draws = changed.draws_of_times = draws_of_other;
        other = std::make_unique<const State>(plan, person, day, changed);
    }
    return *other;
}

const MonteCarloDay::State& MonteCarloDay::State::by_many() const {
    return settings.draws_of_times > settings.draws ? by(many, settings.draws_of_times) : *this;
}

bool MonteCarloDay::State::hour_matters(std::size_t criterion) const {
    auto& known = loud_hours.at(criterion);
    if (!known) {
        known = is_above(
            surely([&](const State& by) { return by.limits.share_of_loud_hours(criterion); }).value,
            accepted());
    }
    return *known;
}

LongestTimes MonteCarloDay::State::longest(std::size_t criterion, const MonteCarloOutcome& at_0,
                                           const std::vector<double>& part, Seconds most) const {
    WorkMeter::spend(cost::time_of_draw * static_cast<double>(settings.draws));
    std::vector<Seconds> a_second;
    for (const double share : part)
        a_second.emplace_back(share);
    const MonteCarloOutcome rise = outcome(criterion, {.times = a_second});
    const auto over_at_0 = at_0.over();
    LongestTimes longest{
        .seconds = (left_of_limit(at_0.used) / rise.used.max(1e-300)).max(0.0).min(most.count()),
        .probability_over_at_0 = share_of(over_at_0.count(), over_at_0.size())};
    longest.seconds = (over_at_0 || rise.above_ceiling).select(0.0, longest.seconds);
    return longest;
}

std::vector<bool> MonteCarloDay::State::all_for_the_role() const {
    std::vector<bool> wanted;
    for (const Criterion& criterion : person.policy.criteria)
        wanted.push_back(criterion.is_for(person.role));
    return wanted;
}

std::vector<bool> MonteCarloDay::State::wanted_by(Limits which) const {
    std::vector<bool> wanted;
    for (const Criterion& criterion : person.policy.criteria)
        wanted.push_back(counts_for(criterion, person, which));
    return wanted;
}

}  // namespace earbudget
