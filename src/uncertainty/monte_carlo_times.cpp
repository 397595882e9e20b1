// Times and runs that keep the accepted probability, by the draws of times.
//
// A sum is a straight line in a time T: in each draw it is used up at left/rise, and the time that
// the accepted share of the draws does not reach is a quantile of those. So sums need two outcomes
// of the day, at 0 s and of one second, and no search. A loudest part changes with no time but from
// 0 s on. A highest hour is piecewise straight in T, which is where the solver halves; it is sought
// only where it can decide anything, below the time that the sums permit.
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
    if (state_->is_plainly_over({.times = variable.fixed}, sums)) return std::nullopt;
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

unsigned MonteCarloDay::confident_runs(const VariableTimes& runs, unsigned most) const {
    const auto keep = [&](unsigned more, const std::vector<bool>& limits) {
        return !state_->is_over({.times = runs.lasting(Seconds(more))}, limits);
    };
    const std::vector<bool> wanted = state_->wanted_by(Limits::All);
    if (most == 0) return most;
    const State& many = state_->by_many();
    const std::vector<bool> others = limits_beside_sums(wanted);
    const bool sums_alone = std::ranges::find(others, true) == others.end();
    // Where sums alone count, what follows says the same without going through all other rows.
    const bool within =
        sums_alone ? state_->is_plainly_within({.times = runs.lasting(Seconds(most))}, wanted)
                   : keep(most, wanted);
    if (within) return most;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (!wanted[i] || !is_sum(i)) continue;
        const auto fit =
            many.longest(i, {}, runs.part, Seconds(most)).confident(state_->accepted());
        if (!fit) return 0;
        most = std::min(most, whole_runs(*fit));
    }
    if (sums_alone) return most;
    return most_that_keeps(0U, most, [&](unsigned more) { return keep(more, others); });
}

}  // namespace earbudget
