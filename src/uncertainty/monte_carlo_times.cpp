// Times and runs that keep the accepted probability, by the draws of times.
//
// A sum is a straight line in a time T: in each draw it is used up at left/rise, and the time that
// the accepted share of the draws does not reach is a quantile of those. So sums need two outcomes
// of the day, at 0 s and of one second, and no search. A loudest part changes with no time but from
// 0 s on. A highest hour is piecewise straight in T, which is where the solver halves; it is sought
// only where it can decide anything, below the time that the sums permit.
//
// Runs are asked for row by row. What of the day does not change is therefore kept, and a row costs
// what that row adds.
#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include "uncertainty/monte_carlo_state.hpp"

namespace earbudget {

namespace {

// Each step of halving takes all draws: among many of them the time is sought to a part of itself
// that is less than they stray by.
constexpr Tolerance<Seconds> near_enough_in_draws{Seconds(1e-3), 1e-4};

constexpr std::size_t rows_bounded_first = 64;  // own choice

unsigned whole_runs(Seconds runs) {
    return static_cast<unsigned>(std::floor(runs.count() + arithmetic_slack));
}

}  // namespace

std::optional<Seconds> LongestTimes::confident(double accepted) const {
    if (is_above(probability_over_at_0, accepted)) return std::nullopt;
    Eigen::ArrayXd sorted = seconds;
    double* const place =
        sorted.data() + accepted_draws(static_cast<Eigen::Index>(draws), accepted);
    std::nth_element(sorted.data(), place, sorted.data() + sorted.size());
    return Seconds(*place);
}

bool MonteCarloDay::is_sum(std::size_t criterion) const {
    return state_->accumulation(criterion) == Accumulation::Sum;
}

LongestTimes MonteCarloDay::longest(std::size_t criterion, const VariableTimes& variable,
                                    Seconds most) const {
    if (!is_sum(criterion)) throw std::logic_error("the criterion is no sum over the day");
    const State& many = state_->by_many();
    return many.longest(criterion, variable.fixed, variable.part, most);
}

LongestTimes MonteCarloDay::longest_of_row(std::size_t criterion, std::size_t row,
                                           Seconds most) const {
    return longest(criterion, one_row(state_->day, row), most);
}

std::vector<bool> MonteCarloDay::limits_beside_sums(std::vector<bool> wanted) const {
    std::vector<bool> others = std::move(wanted);
    for (std::size_t i = 0; i < others.size(); ++i) {
        others[i] = others[i] && !is_sum(i) &&
                    (state_->accumulation(i) == Accumulation::Loudest || state_->hour_matters(i));
    }
    return others;
}

bool MonteCarloDay::order_matters() const {
    const std::vector<bool> wanted = state_->wanted_by(Limits::All);
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (wanted[i] && state_->accumulation(i) == Accumulation::HighestHour &&
            state_->hour_matters(i))
            return true;
    }
    return false;
}

std::optional<Seconds> MonteCarloDay::confident_time(const VariableTimes& variable, Seconds most,
                                                     std::optional<std::size_t> only) const {
    std::vector<bool> wanted = state_->wanted_by(Limits::All);
    if (only) {
        wanted.assign(wanted.size(), false);
        wanted.at(*only) = true;
    }
    std::vector<bool> sums = wanted;
    for (std::size_t i = 0; i < sums.size(); ++i)
        sums[i] = sums[i] && is_sum(i);
    // Of many rows one is taken off the draws with less work than all are bounded; both never hold.
    const bool bounds_first = state_->day.rows.size() <= rows_bounded_first;
    const auto surely_within = [&] {
        return state_->is_surely_within({.times = variable.lasting(most)}, wanted);
    };
    if (bounds_first && surely_within()) return most;
    if (state_->is_plainly_over({.times = variable.fixed}, sums)) return std::nullopt;
    if (!bounds_first && surely_within()) return most;
    Seconds by_sums = most;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (!wanted[i] || !is_sum(i)) continue;
        const auto time = longest(i, variable, by_sums).confident(state_->accepted());
        if (!time) return std::nullopt;
        by_sums = *time;
    }
    const std::vector<bool> others = limits_beside_sums(wanted);
    if (std::ranges::find(others, true) == others.end()) return rounded_down(by_sums, most);
    const bool exact = &state_->by_many() == state_.get();
    const auto time = longest_that_keeps(
        times_of_whole_hours(variable, state_->day.course(), by_sums), by_sums,
        [&](Seconds asked) { return !state_->is_over({.times = variable.lasting(asked)}, others); },
        exact ? near_in_time : near_enough_in_draws);
    return time ? std::optional(rounded_down(*time, most)) : std::nullopt;
}

bool MonteCarloDay::State::is_plainly_within(const std::vector<Seconds>& more,
                                             const std::vector<bool>& wanted) const {
    std::vector<Seconds> then = more;
    for (std::size_t row = 0; row < then.size(); ++row)
        then[row] += day.rows[row].time;
    if (is_surely_within({.times = then}, wanted)) return true;
    if (settings.draws <= few_draws) return false;
    const State& fewer = by(few, few_draws);
    const double share = fewer.most_over_with(more, wanted);
    return fewer.is_beyond_doubt(share) && !is_above(share, accepted());
}

/// The highest share of the draws that can be over a limit.
double MonteCarloDay::State::most_over_with(const std::vector<Seconds>& more,
                                            const std::vector<bool>& wanted) const {
    if (day_as_it_is.empty()) day_as_it_is = outcomes({}, wanted_by(Limits::All));
    std::vector<bool> no_hours = wanted;
    for (std::size_t i = 0; i < wanted.size(); ++i)
        no_hours[i] = wanted[i] && accumulation(i) != Accumulation::HighestHour;
    const std::vector<MonteCarloOutcome> added = outcomes({.times = more}, no_hours);
    Eigen::Index most = 0;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (!wanted[i]) continue;
        MonteCarloOutcome then = day_as_it_is[i];
        if (!no_hours[i]) {
            then.used = most_of_hour_with(i, more);
        } else {
            then.above_ceiling = then.above_ceiling || added[i].above_ceiling;
            then.used = accumulation(i) == Accumulation::Sum
                            ? Eigen::ArrayXd(then.used + added[i].used)
                            : Eigen::ArrayXd(then.used.max(added[i].used));
        }
        most = std::max(most, then.over_in({0, draws()}));
    }
    return share_of(most, draws());
}

/// Of an hour's window the part x that is new holds x of the loudest row that grows at most; the
/// other part holds no more than the highest hour did, nor than 1 − x of the loudest part. Their
/// sum is highest where both bounds meet, or where all that is new is in the window.
Eigen::ArrayXd MonteCarloDay::State::most_of_hour_with(std::size_t criterion,
                                                       const std::vector<Seconds>& more) const {
    auto& part = loudest_parts.at(criterion);
    const auto loudest = [&](const SegmentTimes& times) {
        return part->limits.outcomes(times, LevelDifference(0.0), {true}).front().used;
    };
    if (!part) {
        part.reset(new LoudestPart{limits.of_loudest_part(criterion), {}});
        part->used = loudest({.seconds = std::vector<double>(errors.segments.size(), 1.0)});
    }
    Seconds all(0.0);
    for (std::size_t row = 0; row < more.size(); ++row)
        all += static_cast<double>(day.times_a_day(day.rows[row])) * more[row];
    const Eigen::ArrayXd& hour = day_as_it_is[criterion].used;
    const Eigen::ArrayXd new_part =
        (1.0 - hour / part->used.max(1e-300)).max(0.0).min(std::min(1.0, all / averaging_hour));
    return hour + new_part * loudest(times_of(more, day.sessions, false));
}

unsigned MonteCarloDay::confident_runs(const VariableTimes& runs, unsigned most) const {
    const auto keep = [&](unsigned count, const std::vector<bool>& limits) {
        return !state_->is_over({.times = runs.lasting(Seconds(count))}, limits);
    };
    const std::vector<bool> wanted = state_->wanted_by(Limits::All);
    if (most == 0) return most;
    const State& many = state_->by_many();
    const std::vector<bool> others = limits_beside_sums(wanted);
    const bool sums_alone = std::ranges::find(others, true) == others.end();
    std::vector<Seconds> more;
    for (const double part : runs.part)
        more.emplace_back(part * most);
    // Where sums alone count, what follows says the same without going through all other rows.
    if (state_->is_plainly_within(more, wanted) || (!sums_alone && keep(most, wanted))) return most;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (!wanted[i] || !is_sum(i)) continue;
        const auto fit =
            many.longest(i, {}, runs.part, Seconds(most)).confident(state_->accepted());
        if (!fit) return 0;
        most = std::min(most, whole_runs(*fit));
    }
    if (sums_alone) return most;
    return most_that_keeps(0U, most, [&](unsigned count) { return keep(count, others); });
}

}  // namespace earbudget
