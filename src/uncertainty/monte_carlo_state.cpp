#include "uncertainty/monte_carlo_state.hpp"

#include <algorithm>
#include <cmath>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "uncertainty/draw_order.hpp"

namespace earbudget {

namespace {

std::vector<ExposureLimit> limits_of(const Person& person, const ExposureDay& day) {
    std::vector<ExposureLimit> limits;
    for (const Criterion& criterion : person.policy.criteria)
        limits.emplace_back(criterion, criterion.days_counted(day.days_per_week));
    return limits;
}

std::vector<Seconds> times_as_they_are(const ExposureDay& day) {
    std::vector<Seconds> times;
    for (const ExposureRow& row : day.rows)
        times.push_back(row.time);
    return times;
}

// Draws leave no doubt where their share lies this many of its standard deviations away.
constexpr double without_doubt = 5.0;

// What a bound leaves of the accepted probability: less than draws stray by.
constexpr double part_beyond_doubt = 0.5;

// Printed as 0.
constexpr double hardly_probable = 0.0005;

}  // namespace

Eigen::Index accepted_draws(Eigen::Index draws, double accepted) {
    return static_cast<Eigen::Index>(
        std::floor(accepted * static_cast<double>(draws) + arithmetic_slack));
}

MonteCarloDay::State::State(const Plan& of, const Person& whose, const ExposureDay& exposed,
                            const DrawSettings& drawn_by, std::shared_ptr<const DayErrors> with)
    : plan(of),
      person(whose),
      day(exposed),
      settings(drawn_by),
      shared(std::move(with)),
      errors(*shared),
      variables(errors.variables, settings),
      limits(errors, variables, limits_of(person, exposed),
             static_cast<Eigen::Index>(settings.draws), settings.threads),
      bounds(errors, limits.limits()),
      now(limits.limits().size()),
      loudest_parts(limits.limits().size()),
      loud_hours(limits.limits().size()) {
    if (!variables.lattice()) return;
    auto numbers =
        loudest_first(errors, limits.limits(), wanted_by(Limits::All),
                      times_of(times_as_they_are(day), day.sessions, false), *variables.lattice());
    is_in_order = !numbers.empty();
    if (is_in_order) variables.put_in_order(std::move(numbers));
}

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

MonteCarloDay::State::Asked MonteCarloDay::State::asked(const DayChange& change,
                                                        std::vector<bool> wanted,
                                                        bool only_over) const {
    std::vector<Seconds> as_it_is;
    if (!change.times) as_it_is = times_as_they_are(day);
    bool in_order = false;
    for (std::size_t i = 0; i < wanted.size(); ++i)
        in_order = in_order || (wanted[i] && accumulation(i) == Accumulation::HighestHour);
    return {
        times_of(change.times.value_or(as_it_is), change.sessions.value_or(day.sessions), in_order),
        change.added, std::move(wanted), only_over};
}

void MonteCarloDay::State::find(const Asked& question, DrawRange range,
                                std::vector<MonteCarloOutcome>& outcomes) const {
    limits.find(question.times, question.added, question.wanted, question.only_over, range,
                outcomes);
}

std::vector<MonteCarloOutcome> MonteCarloDay::State::outcomes(
    const DayChange& change, const std::vector<bool>& wanted) const {
    std::vector<MonteCarloOutcome> outcomes(wanted.size());
    find(asked(change, wanted, false), {0, draws()}, outcomes);
    return outcomes;
}

MonteCarloOutcome MonteCarloDay::State::outcome(std::size_t criterion,
                                                const DayChange& change) const {
    std::vector<bool> wanted(limits.limits().size(), false);
    wanted.at(criterion) = true;
    return std::move(outcomes(change, wanted)[criterion]);
}

double MonteCarloDay::State::highest_probability(const DayChange& change,
                                                 const std::vector<bool>& wanted) const {
    return highest_share(limits, asked(change, wanted, true));
}

SureProbability MonteCarloDay::State::sure_probability(const DayChange& change,
                                                       const std::vector<bool>& wanted) const {
    const double most = most_probable(change, wanted);
    if (most <= std::min(hardly_probable, part_beyond_doubt * accepted())) return {0.0, 0};
    return by_draws(change, wanted);
}

SureProbability MonteCarloDay::State::by_draws(const DayChange& change,
                                               const std::vector<bool>& wanted) const {
    return surely([&](const State& by) { return by.highest_probability(change, wanted); });
}

double MonteCarloDay::State::most_probable(const DayChange& change,
                                           const std::vector<bool>& wanted) const {
    std::vector<Seconds> as_it_is;
    if (!change.times) as_it_is = times_as_they_are(day);
    const SegmentTimes times = times_of(change.times.value_or(as_it_is),
                                        change.sessions.value_or(day.sessions), false);
    double most = 0.0;
    for (std::size_t i = 0; i < wanted.size(); ++i)
        if (wanted[i]) most = std::max(most, bounds.most(i, times, change.added));
    return most;
}

bool MonteCarloDay::State::is_surely_within(const DayChange& change,
                                            const std::vector<bool>& wanted) const {
    return most_probable(change, wanted) <= part_beyond_doubt * accepted();
}

bool MonteCarloDay::State::is_over(const DayChange& change, const std::vector<bool>& wanted) const {
    if (is_surely_within(change, wanted)) return false;
    return is_above(by_draws(change, wanted).value, accepted());
}

bool MonteCarloDay::State::is_plainly_over(const DayChange& change,
                                           const std::vector<bool>& wanted) const {
    const auto plainly = [&](const State& by) {
        const double share = by.highest_probability(change, wanted);
        return by.is_beyond_doubt(share) && is_above(share, accepted());
    };
    if (settings.draws > few_draws && plainly(by(few, few_draws))) return true;
    return settings.draws_of_times > settings.draws && !by_many().is_in_order && plainly(*this);
}

SureProbability MonteCarloDay::State::surely(
    const std::function<double(const State&)>& share) const {
    if (settings.draws > few_draws) {
        const State& fewer = by(few, few_draws);
        const double by_few = share(fewer);
        if (fewer.is_beyond_doubt(by_few)) return {by_few, few_draws};
    }
    const State& more = by_many();
    // In order, more draws are asked for no more than these are.
    if (!more.is_in_order || &more == this) {
        const double by_these = share(*this);
        if (&more == this || is_beyond_doubt(by_these)) return {by_these, settings.draws};
    }
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
        other = std::make_unique<const State>(plan, person, day, changed, shared);
    }
    return *other;
}

const MonteCarloDay::State& MonteCarloDay::State::by_many() const {
    return settings.draws_of_times > settings.draws ? by(many, settings.draws_of_times) : *this;
}

bool MonteCarloDay::State::hour_matters(std::size_t criterion) const {
    auto& known = loud_hours.at(criterion);
    if (!known && bounds.most_of_loudest_part(criterion) <= part_beyond_doubt * accepted())
        known = false;
    if (!known) {
        const auto loud = [&](const State& by) {
            const SegmentTimes any{.seconds = std::vector<double>(errors.segments.size(), 1.0)};
            return by.highest_share(by.limits.of_loudest_part(criterion),
                                    {any, LevelDifference(0.0), {true}});
        };
        known = is_above(surely(loud).value, accepted());
    }
    return *known;
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
