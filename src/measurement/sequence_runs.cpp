#include "earbudget/measurement/sequence_runs.hpp"

#include <cstddef>
#include <numeric>
#include <span>

#include "measurement/loud_stretches.hpp"
#include "measurement/step_levels.hpp"

namespace earbudget {

namespace {

double sum_of(std::span<const float> x) { return std::accumulate(x.begin(), x.end(), 0.0); }

/// The mean over all steps outside `stretches`, 0 if there are none.
double mean_outside(std::span<const float> x, const std::vector<Stretch>& stretches) {
    double sum = 0.0;
    std::size_t count = 0;
    std::size_t next = 0;
    const auto add = [&](std::size_t end) {
        sum += sum_of(x.subspan(next, end - next));
        count += end - next;
    };
    for (const Stretch& stretch : stretches) {
        add(stretch.first);
        next = stretch.end;
    }
    add(x.size());
    return count > 0 ? sum / static_cast<double>(count) : 0.0;
}

SequenceRun run_of(const LevelHistory& history, const Stretch& stretch, double background) {
    const std::span<const float> all(history.mean_square);
    const auto steps = all.subspan(stretch.first, stretch.end - stretch.first);
    const auto steadiness = steadiness_of({history.step, {steps.begin(), steps.end()}});
    const double mean_square = sum_of(steps) / static_cast<double>(steps.size());
    const Seconds start = history.step * static_cast<double>(stretch.first);
    const Seconds end = history.step * static_cast<double>(stretch.end);
    std::optional<LevelDifference> above;
    if (background > 0.0) above = difference_of_energy_ratio(mean_square / background);
    return {start,
            end,
            mean_square,
            above,
            stretch.first == 0,
            stretch.end == all.size(),
            history.step * static_cast<double>(steps.size()) >= enough_for_any_sound,
            steadiness && steadiness->steady,
            steadiness};
}

}  // namespace

std::vector<SequenceRun> find_sequence_runs(const LevelHistory& history) {
    const auto stretches = loud_stretches(step_levels(history.mean_square), history.step);
    const double background = mean_outside(history.mean_square, stretches);
    std::vector<SequenceRun> runs;
    for (const Stretch& stretch : stretches)
        runs.push_back(run_of(history, stretch, background));
    return runs;
}

}  // namespace earbudget
