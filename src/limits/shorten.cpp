#include "earbudget/limits/shorten.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>
#include <vector>

#include "earbudget/limits/day_budget.hpp"

namespace earbudget {

namespace {

constexpr Seconds longest_day = Hours(24);

LongestTime longest_by(const DayBudget& budget, const ExposureDay& day,
                       const VariableTimes& variable, Seconds most) {
    auto longest = budget.longest(variable.fixed, variable.part, most);
    if (longest && budget.hour_matters()) {
        longest = longest_that_keeps(
            times_of_whole_hours(variable, day.course(), *longest), *longest,
            [&](Seconds time) {
                return !budget.is_hour_over(variable.lasting(time), day.sessions);
            },
            near_in_time);
    }
    LongestTime result;
    result.how = {budget.hour_matters(), budget.has_too_loud_row(variable.lasting(most)), most,
                  budget.lines(variable.fixed, variable.part, budget.sessions())};
    if (longest) result.best_estimate = rounded_down(*longest, most);
    return result;
}

LongestTime longest(const DayBudget& budget, const ExposureDay& day, const VariableTimes& variable,
                    Seconds most, const MonteCarloDay* drawn,
                    std::optional<std::size_t> only = std::nullopt) {
    LongestTime result = longest_by(budget, day, variable, most);
    if (!drawn || !result.best_estimate) return result;
    // A label for nearly everyone can be stricter than the accepted probability.
    result.confident = drawn->confident_time(variable, most, only);
    if (result.confident) result.confident = std::min(*result.confident, *result.best_estimate);
    return result;
}

// How long the row may be before the day has more than 24 hours; never less than it is.
Seconds room_for(const ExposureDay& day, std::size_t row) {
    const VariableTimes variable = one_row(day, row);
    Seconds others(0.0);
    double times = 0.0;
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        const auto times_a_day = static_cast<double>(day.times_a_day(day.rows[i]));
        others += times_a_day * variable.fixed[i];
        times += times_a_day * variable.part[i];
    }
    return std::max((longest_day - others) / times, day.rows[row].time);
}

Seconds total_time_of(const ExposureDay& day) {
    Seconds total(0.0);
    for (const ExposureRow& row : day.rows)
        total += static_cast<double>(day.times_a_day(row)) * row.time;
    return total;
}

/// The day with more runs of one row, and of others that the same row of the plan sets.
class MoreRuns {
  public:
    MoreRuns(const DayBudget& budget, const ExposureDay& day, std::size_t row)
        : budget_(budget), day_(day), run_(day.rows[row].run()) {
        for (std::size_t i = 0; i < day.rows.size(); ++i) {
            if (i == row || day.rows[i].is_same_plan_row(day.rows[row])) rows_.push_back(i);
        }
    }

    [[nodiscard]] bool fit(unsigned runs) const {
        std::vector<Seconds> times = budget_.times();
        for (const std::size_t row : rows_)
            times[row] += static_cast<double>(runs) * run_;
        return !budget_.is_over(times, day_.sessions);
    }

    /// How many more go into 24 hours.
    [[nodiscard]] unsigned room(Seconds total) const {
        double a_run = 0.0;
        for (const std::size_t row : rows_)
            a_run += static_cast<double>(day_.times_a_day(day_.rows[row])) * run_.count();
        return whole_runs((longest_day - total).count() / a_run);
    }

    /// Whether division answers: nothing but sums matters, and no other row goes with this one.
    [[nodiscard]] bool is_by_sums() const { return rows_.size() == 1 && !budget_.hour_matters(); }

    /// No more than these keep the sums, where the row goes alone: by division. The limits of sums
    /// hold the slack for what fits on paper.
    [[nodiscard]] unsigned by_sums(unsigned most) const {
        if (rows_.size() > 1) return most;
        const Seconds time = budget_.times()[rows_.front()];
        const Seconds longest = time + static_cast<double>(most) * run_;
        const auto kept = budget_.longest_of_row(rows_.front(), longest);
        return kept ? std::min(most, whole_runs((*kept - time) / run_)) : 0U;
    }

  private:
    static unsigned whole_runs(double runs) {
        return runs < 0.0 ? 0U : static_cast<unsigned>(std::min(runs + arithmetic_slack, 1e9));
    }

    const DayBudget& budget_;
    const ExposureDay& day_;
    Seconds run_;
    std::vector<std::size_t> rows_;
};

// So many that fit, while one more does not. The highest hour can fall again where a longer row
// brings loud ones apart; a number that ends at a limit is what is asked for.
unsigned runs_left(const DayBudget& budget, const ExposureDay& day, std::size_t row,
                   Seconds total) {
    const MoreRuns more(budget, day, row);
    const unsigned most = more.by_sums(more.room(total));
    if (more.is_by_sums()) return most;
    return most_that_keeps(0U, most, [&](unsigned runs) { return more.fit(runs); });
}

}  // namespace

WorkingStep LongestTime::step(Message what, std::vector<std::string> of) const {
    StepOf step(std::move(what), std::move(of),
                how.hour_matters ? formula_of_longest_with_hour : formula_of_longest_time);
    step.value("most_s", how.most);
    if (how.above_a_level_never_permitted) step.value("above_a_level_never_permitted", "yes");
    add_lines(how.lines, "rate_per_s", step);
    return step.is(best_estimate, "s");
}

LongestTime longest_time_of_row(const Person& person, const ExposureDay& day, std::size_t row,
                                const MonteCarloDay* drawn, std::optional<std::size_t> only) {
    return longest(DayBudget(person, day), day, one_row(day, row), room_for(day, row), drawn, only);
}

LongestTime longest_time_of_row(const DayBudget& budget, const ExposureDay& day, std::size_t row,
                                const MonteCarloDay& drawn) {
    return longest(budget, day, one_row(day, row), room_for(day, row), &drawn);
}

std::vector<std::optional<unsigned>> repeats_left(const Person& person, const ExposureDay& day,
                                                  std::vector<LongestTime>* longest) {
    const DayBudget budget(person, day);
    const bool over = budget.is_over();
    const Seconds total = total_time_of(day);
    std::vector<std::optional<unsigned>> runs;
    for (std::size_t row = 0; row < day.rows.size(); ++row) {
        if (longest) longest->emplace_back();
        if (!day.rows[row].sequence) {
            runs.emplace_back(std::nullopt);
            continue;
        }
        if (longest)
            longest->back() = longest_by(budget, day, one_row(day, row), room_for(day, row));
        if (over) {
            runs.emplace_back(0U);
        } else {
            runs.emplace_back(runs_left(budget, day, row, total));
        }
    }
    return runs;
}

std::optional<unsigned> best_estimate_runs(const DayBudget& budget, const VariableTimes& runs,
                                           unsigned most) {
    const auto fit = [&](unsigned count) {
        return !budget.is_over(runs.lasting(Seconds(count)), budget.sessions());
    };
    if (!fit(0)) return std::nullopt;
    const auto longest = budget.longest(runs.fixed, runs.part, Seconds(most));
    if (!longest) return std::nullopt;
    const auto by_sums =
        static_cast<unsigned>(std::floor(longest->count() + arithmetic_slack));
    if (!budget.hour_matters()) return by_sums;
    return most_that_keeps(0U, by_sums, fit);
}

LongestTime longest_time_of_all_sequences(const Person& person, const ExposureDay& day,
                                          const MonteCarloDay* drawn) {
    const Seconds now = time_of_sequences(day);
    if (!(now.count() > 0.0)) return {};
    return longest(DayBudget(person, day), day, all_sequences(day), now, drawn);
}

namespace {

/// The day as it is, and a run more of one row and of others that the same row of the plan sets.
VariableTimes more_runs(const ExposureDay& day, std::size_t row) {
    VariableTimes runs;
    for (const ExposureRow& other : day.rows) {
        const bool grows = &other == &day.rows[row] || other.is_same_plan_row(day.rows[row]);
        runs.fixed.push_back(other.time);
        runs.part.push_back(grows ? day.rows[row].run().count() : 0.0);
    }
    return runs;
}

/// Rows alike in these have the same answer, wherever they stand, unless an hour is looked for.
using Alike = std::tuple<std::vector<std::size_t>, double, bool, unsigned>;

/// None where other rows grow with this one.
std::optional<Alike> alike(const ExposureDay& day, const MonteCarloDay& drawn, std::size_t row,
                           const VariableTimes& runs, unsigned best_estimate) {
    const auto growing = std::ranges::count_if(runs.part, [](double part) { return part > 0.0; });
    if (growing != 1) return std::nullopt;
    return Alike{drawn.errors().segments_of_row[row], runs.part[row], day.rows[row].once_a_day,
                 best_estimate};
}

}  // namespace

std::vector<std::optional<unsigned>> confident_repeats_left(
    const ExposureDay& day, const MonteCarloDay& drawn,
    const std::vector<std::optional<unsigned>>& best_estimate) {
    std::vector<std::optional<unsigned>> left(day.rows.size());
    std::optional<bool> over_now;
    std::map<Alike, unsigned> known;
    for (std::size_t row = 0; row < day.rows.size(); ++row) {
        if (!best_estimate[row]) continue;
        left[row] = 0;
        if (*best_estimate[row] == 0) continue;
        if (!over_now) over_now = drawn.perhaps_over();
        if (*over_now) continue;
        const VariableTimes runs = more_runs(day, row);
        const auto key = drawn.order_matters() ? std::nullopt
                                               : alike(day, drawn, row, runs, *best_estimate[row]);
        const auto same = key ? known.find(*key) : known.end();
        left[row] =
            same != known.end() ? same->second : drawn.confident_runs(runs, *best_estimate[row]);
        if (key) known.try_emplace(*key, *left[row]);
    }
    return left;
}

}  // namespace earbudget
