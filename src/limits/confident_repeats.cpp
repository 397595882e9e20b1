#include "earbudget/limits/confident_repeats.hpp"

#include <algorithm>
#include <map>
#include <tuple>

namespace earbudget {

namespace {

/// The day as it is, and a run more of one row and of others that the same row of the plan sets.
VariableTimes more_runs(const HearingDay& day, std::size_t row) {
    VariableTimes runs;
    for (const HeardRow& other : day.rows) {
        const bool grows = &other == &day.rows[row] || other.is_same_plan_row(day.rows[row]);
        runs.fixed.push_back(other.time);
        runs.part.push_back(grows ? day.rows[row].run().count() : 0.0);
    }
    return runs;
}

/// Rows alike in these have the same answer, wherever they stand, unless an hour is looked for.
using Alike = std::tuple<std::vector<std::size_t>, double, bool, unsigned>;

/// None where other rows grow with this one.
std::optional<Alike> alike(const HearingDay& day, const DrawnDay& drawn, std::size_t row,
                           const VariableTimes& runs, unsigned best_estimate) {
    const auto growing = std::ranges::count_if(runs.part, [](double part) { return part > 0.0; });
    if (growing != 1) return std::nullopt;
    return Alike{drawn.errors().segments_of_row[row], runs.part[row], day.rows[row].once_a_day,
                 best_estimate};
}

}  // namespace

std::vector<std::optional<unsigned>> confident_repeats_left(
    const HearingDay& day, const DrawnDay& drawn,
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
