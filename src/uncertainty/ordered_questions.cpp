// Questions that take draws in their order (draw_order.hpp) and end where the rest would change
// nothing.
#include <algorithm>
#include <functional>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "uncertainty/monte_carlo_state.hpp"

namespace earbudget {

namespace {

// Of draws in order, so many are asked for first: somewhat more than the accepted share of 5 %.
constexpr Eigen::Index first_asked = 4096;

bool is_any(const std::vector<bool>& wanted) {
    return std::ranges::find(wanted, true) != wanted.end();
}

constexpr double draws_that_tell = 20.0;  // own choice

// What a day lacks is taken off what it uses where that is so small a part of its segments, so that
// a day of few rows is summed anew.
constexpr std::size_t part_taken = 4;  // own choice

/// The last quarter of all draws until there.
DrawRange last_of(DrawRange range) { return {range.end - range.end / 4, range.end}; }

}  // namespace

DrawRange MonteCarloDay::State::first_draws() const {
    return {0, is_in_order ? std::min(first_asked, draws()) : draws()};
}

DrawRange MonteCarloDay::State::draws_after(DrawRange range) const {
    return {range.end, std::min(2 * range.end, draws())};
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

double MonteCarloDay::State::highest_share(const MonteCarloLimits& of, Asked question) const {
    std::vector<MonteCarloOutcome> outcomes(question.wanted.size());
    const auto taken = &of == &limits ? taken_from_day(question) : std::nullopt;
    Eigen::Index most = 0;
    for (DrawRange range = first_draws();; range = draws_after(range)) {
        if (taken) {
            find_without(*taken, question, range, outcomes);
        } else {
            of.find(question.times, question.added, question.wanted, question.only_over, range,
                    outcomes);
        }
        for (std::size_t i = 0; i < outcomes.size(); ++i) {
            if (!question.wanted[i]) continue;
            most = std::max(most, outcomes[i].over_in({0, range.end}));
            question.wanted[i] = !tells_of_rest(range) || outcomes[i].over_in(last_of(range)) > 0;
        }
        if (range.end == draws() || !is_any(question.wanted)) return share_of(most, draws());
    }
}

std::vector<MonteCarloOutcome> MonteCarloDay::State::loudest_outcomes(
    const DayChange& change, std::vector<bool> wanted, const std::vector<bool>& with_share) const {
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
                !tells_of_rest(range) || (with_share[i] && outcomes[i].over_in(last) > 0) ||
                outcomes[i].used.segment(last.first, last.end - last.first).maxCoeff() >
                    used[place];
        }
        if (!is_any(question.wanted)) return outcomes;
    }
}

std::vector<bool> MonteCarloDay::State::sums_of_now() const {
    std::vector<bool> sums = wanted_by(Limits::All);
    for (std::size_t i = 0; i < sums.size(); ++i)
        sums[i] = sums[i] && accumulation(i) == Accumulation::Sum;
    return sums;
}

/// The day as it is, for all limits that are sums.
void MonteCarloDay::State::find_now(Eigen::Index end) const {
    if (now_known >= end) return;
    find(asked({}, sums_of_now(), false), {now_known, end}, now);
    now_known = end;
}

std::optional<SegmentTimes> MonteCarloDay::State::taken_from_day(const Asked& question) const {
    const std::vector<bool> sums = sums_of_now();
    for (std::size_t i = 0; i < sums.size(); ++i)
        if (question.wanted[i] && !sums[i]) return std::nullopt;
    if (question.added != LevelDifference(0.0)) return std::nullopt;
    SegmentTimes taken = asked({}, sums, false).times;
    std::size_t exposed = 0, shorter = 0;
    for (std::size_t i = 0; i < taken.seconds.size(); ++i) {
        exposed += taken.seconds[i] > 0.0 ? 1U : 0U;
        taken.seconds[i] -= question.times.seconds[i];
        if (taken.seconds[i] < 0.0) return std::nullopt;
        shorter += taken.seconds[i] > 0.0 ? 1U : 0U;
    }
    return shorter > 0 && shorter * part_taken < exposed ? std::optional(taken) : std::nullopt;
}

/// Where a ceiling is exceeded in what was taken and, in the same draw, in the day, what is left
/// may exceed it or not: then all of what is left is asked for.
void MonteCarloDay::State::find_without(const SegmentTimes& taken, const Asked& question,
                                        DrawRange range,
                                        std::vector<MonteCarloOutcome>& outcomes) const {
    find_now(range.end);
    find({taken, question.added, question.wanted, false}, range, outcomes);
    const Eigen::Index size = range.end - range.first;
    for (std::size_t i = 0; i < outcomes.size(); ++i) {
        if (!question.wanted[i]) continue;
        auto above = outcomes[i].above_ceiling.segment(range.first, size);
        if (above.any()) return find(question, range, outcomes);
        above = now[i].above_ceiling.segment(range.first, size);
        auto used = outcomes[i].used.segment(range.first, size);
        used = (now[i].used.segment(range.first, size) - used).max(0.0);
    }
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
    std::optional<SegmentTimes> taken;
    if (!fixed.empty()) {
        standing = asked({.times = fixed}, wanted, false);
        taken = taken_from_day(*standing);
    }
    std::vector<MonteCarloOutcome> rise(wanted.size()), at_0(wanted.size());
    LongestTimes longest{.seconds = {}, .draws = settings.draws};
    Eigen::Array<bool, Eigen::Dynamic, 1> over;
    for (DrawRange range = first_draws();; range = draws_after(range)) {
        const Eigen::Index size = range.end - range.first;
        WorkMeter::spend(cost::time_of_draw * static_cast<double>(size));
        if (taken) {
            find_without(*taken, *standing, range, at_0);
        } else if (standing) {
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

}  // namespace earbudget
