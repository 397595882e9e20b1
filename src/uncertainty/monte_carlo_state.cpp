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

// Of draws in order, so many are asked for first: somewhat more than the accepted share of 5 %.
constexpr Eigen::Index first_asked = 4096;

bool is_any(const std::vector<bool>& wanted) {
    return std::ranges::find(wanted, true) != wanted.end();
}

constexpr double draws_that_tell = 20.0;  // own choice

/// The last quarter of all draws until there.
DrawRange last_of(DrawRange range) { return {range.end - range.end / 4, range.end}; }

// Draws leave no doubt where their share lies this many of its standard deviations away.
constexpr double without_doubt = 5.0;

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
      now(limits.limits().size()),
      loudest_parts(limits.limits().size()),
      loud_hours(limits.limits().size()) {
    if (!variables.lattice()) return;
    std::vector<Seconds> times;
    for (const ExposureRow& row : day.rows)
        times.push_back(row.time);
    auto numbers = loudest_first(errors, limits.limits(), wanted_by(Limits::All),
                                 times_of(times, day.sessions, false), *variables.lattice());
    is_in_order = !numbers.empty();
    if (is_in_order) variables.put_in_order(std::move(numbers));
}

/// Whether the last quarter of the draws asked for tells of those that still come: its accepted
/// share must be some draws. Of a small share few draws decide, and errors that the order does not
/// know strew them.
bool MonteCarloDay::State::tells_of_rest(DrawRange range) const {
    const DrawRange last = last_of(range);
    return accepted() * static_cast<double>(last.end - last.first) >= draws_that_tell;
}

/// Whether the draws that still come would change nothing: none of the last ones is over before
/// any time, or enough are already, and none leaves less time than what the accepted share keeps.
bool MonteCarloDay::State::is_ended(const Eigen::ArrayXd& seconds, Eigen::Index over,
                                    Eigen::Index over_at_last, DrawRange range) const {
    const Eigen::Index place = accepted_draws(draws(), accepted());
    if (place >= range.end || !tells_of_rest(range)) return false;
    if (over_at_last > 0 && over <= place) return false;
    Eigen::ArrayXd sorted = seconds;
    std::nth_element(sorted.data(), sorted.data() + place, sorted.data() + sorted.size());
    const DrawRange last = last_of(range);
    return (seconds.segment(last.first, last.end - last.first) >= sorted[place]).all();
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
    if (!change.times) {
        for (const ExposureRow& row : day.rows)
            as_it_is.push_back(row.time);
    }
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

DrawRange MonteCarloDay::State::first_draws() const {
    return {0, is_in_order ? std::min(first_asked, draws()) : draws()};
}

DrawRange MonteCarloDay::State::draws_after(DrawRange range) const {
    return {range.end, std::min(2 * range.end, draws())};
}

double MonteCarloDay::State::highest_share(const MonteCarloLimits& of, Asked question) const {
    std::vector<MonteCarloOutcome> outcomes(question.wanted.size());
    Eigen::Index most = 0;
    for (DrawRange range = first_draws();; range = draws_after(range)) {
        of.find(question.times, question.added, question.wanted, question.only_over, range,
                outcomes);
        for (std::size_t i = 0; i < outcomes.size(); ++i) {
            if (!question.wanted[i]) continue;
            most = std::max(most, outcomes[i].over_in({0, range.end}));
            question.wanted[i] = !tells_of_rest(range) || outcomes[i].over_in(last_of(range)) > 0;
        }
        if (range.end == draws() || !is_any(question.wanted)) return share_of(most, draws());
    }
}

double MonteCarloDay::State::highest_probability(const DayChange& change,
                                                 const std::vector<bool>& wanted) const {
    return highest_share(limits, asked(change, wanted, true));
}

std::vector<MonteCarloOutcome> MonteCarloDay::State::loudest_outcomes(
    const DayChange& change, std::vector<bool> wanted) const {
    Asked question = asked(change, std::move(wanted), false);
    const std::size_t count = question.wanted.size();
    std::vector<MonteCarloOutcome> outcomes(count);
    const Eigen::Index place = accepted_draws(draws(), left_out_of_95_percent);
    for (DrawRange range = first_draws();; range = draws_after(range)) {
        find(question, range, outcomes);
        if (range.end == draws()) return outcomes;
        for (std::size_t i = 0; i < outcomes.size() && range.end > place; ++i) {
            if (!question.wanted[i]) continue;
            Eigen::ArrayXd used = outcomes[i].used;
            std::nth_element(used.data(), used.data() + place, used.data() + used.size(),
                             std::greater());
            const DrawRange last = last_of(range);
            question.wanted[i] =
                !tells_of_rest(range) || outcomes[i].over_in(last) > 0 ||
                outcomes[i].used.segment(last.first, last.end - last.first).maxCoeff() >
                    used[place];
        }
        if (!is_any(question.wanted)) return outcomes;
    }
}

SureProbability MonteCarloDay::State::sure_probability(const DayChange& change,
                                                       const std::vector<bool>& wanted) const {
    return surely([&](const State& by) { return by.highest_probability(change, wanted); });
}

bool MonteCarloDay::State::is_over(const DayChange& change, const std::vector<bool>& wanted) const {
    return is_above(sure_probability(change, wanted).value, accepted());
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

/// The day as it is, for all limits that are sums.
void MonteCarloDay::State::find_now(Eigen::Index end) const {
    if (now_known >= end) return;
    std::vector<bool> sums = wanted_by(Limits::All);
    for (std::size_t i = 0; i < sums.size(); ++i)
        sums[i] = sums[i] && accumulation(i) == Accumulation::Sum;
    find(asked({}, std::move(sums), false), {now_known, end}, now);
    now_known = end;
}

LongestTimes MonteCarloDay::State::longest(std::size_t criterion, std::span<const Seconds> fixed,
                                           const std::vector<double>& part, Seconds most) const {
    std::vector<Seconds> a_second;
    for (const double share : part)
        a_second.emplace_back(share);
    std::vector<bool> wanted(limits.limits().size(), false);
    wanted.at(criterion) = true;
    const Asked rising = asked({.times = a_second}, wanted, false);
    std::optional<Asked> standing;
    if (!fixed.empty()) standing = asked({.times = fixed}, wanted, false);
    std::vector<MonteCarloOutcome> rise(wanted.size()), at_0(wanted.size());
    LongestTimes longest{.seconds = {}, .draws = settings.draws};
    Eigen::Array<bool, Eigen::Dynamic, 1> over;
    for (DrawRange range = first_draws();; range = draws_after(range)) {
        const Eigen::Index size = range.end - range.first;
        WorkMeter::spend(cost::time_of_draw * static_cast<double>(size));
        if (standing) {
            find(*standing, range, at_0);
        } else {
            find_now(range.end);
        }
        find(rising, range, rise);
        const MonteCarloOutcome& before = (standing ? at_0 : now)[criterion];
        const MonteCarloOutcome& then = rise[criterion];
        const auto used = before.used.segment(range.first, size);
        const auto too_much =
            before.above_ceiling.segment(range.first, size) || is_above_limit(used);
        longest.seconds.conservativeResize(range.end);
        auto seconds = longest.seconds.tail(size);
        seconds = (left_of_limit(used) / then.used.segment(range.first, size).max(1e-300))
                      .max(0.0)
                      .min(most.count());
        seconds = (too_much || then.above_ceiling.segment(range.first, size)).select(0.0, seconds);
        over.conservativeResize(range.end);
        over.tail(size) = too_much;
        const DrawRange last = last_of(range);
        const Eigen::Index at_last = over.segment(last.first, last.end - last.first).count();
        if (range.end == draws() || is_ended(longest.seconds, over.count(), at_last, range)) break;
    }
    longest.probability_over_at_0 = share_of(over.count(), draws());
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
