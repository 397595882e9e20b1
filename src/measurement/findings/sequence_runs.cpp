#include "earbudget/measurement/findings/sequence_runs.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <numeric>
#include <span>

#include "earbudget/measurement/findings/steadiness.hpp"

namespace earbudget {

namespace {

// What follows is ours. Levels and differences in dB.
constexpr Seconds smoothed_over{1.0};        // at 1 Hz and its multiples nothing is left of a pump
constexpr Seconds smoothed_again_over{0.5};  // nor at 2 Hz, and little between
constexpr double quietest = 0.005;           // one step in 200: 3 s in ten minutes
constexpr double background_spread = 5.0;
constexpr double begins_above = 5.0;
constexpr double ends_below = 3.0;
constexpr double counted_up_to = 20.0;  // above the background: what is louder blurs its edges
constexpr Seconds edge_within{1.5};
constexpr Seconds edge_length{0.25};
constexpr double clear_edge = 0.7;  // of the clearest nearby
constexpr Seconds dividing{1.5};
constexpr Seconds shortest_run{2.0};

std::vector<double> sums_before(std::span<const double> x) {
    std::vector<double> sums(x.size() + 1, 0.0);
    std::partial_sum(x.begin(), x.end(), sums.begin() + 1);
    return sums;
}

/// Mean over `width` steps around each; over fewer at the ends.
std::vector<double> smoothed(std::span<const double> x, std::size_t width) {
    const std::vector<double> sums = sums_before(x);
    std::vector<double> result(x.size());
    for (std::size_t n = 0; n < x.size(); ++n) {
        const std::size_t from = n - std::min(n, width / 2);
        const std::size_t to = std::min(n + (width + 1) / 2, x.size());
        result[n] = (sums[to] - sums[from]) / static_cast<double>(to - from);
    }
    return result;
}

std::vector<double> smoothed_twice(std::span<const double> x, Seconds step) {
    return smoothed(smoothed(x, std::max<std::size_t>(1, steps_in(smoothed_over, step))),
                    std::max<std::size_t>(1, steps_in(smoothed_again_over, step)));
}

/// The median of what lies near the quietest, found again from that until it stays.
double background_of(const std::vector<double>& smooth) {
    double background = percentile(smooth, quietest);
    for (int round = 0; round < 10; ++round) {
        std::vector<double> near;
        std::copy_if(smooth.begin(), smooth.end(), std::back_inserter(near),
                     [&](double x) { return std::abs(x - background) < background_spread; });
        const double median = percentile(near, 0.5);
        if (std::abs(median - background) < 0.01) break;
        background = median;
    }
    return background;
}

std::vector<Stretch> above(std::span<const double> smooth, double background) {
    std::vector<Stretch> found;
    bool loud = false;
    for (std::size_t n = 0; n < smooth.size(); ++n) {
        const double limit = background + (loud ? ends_below : begins_above);
        const bool now = smooth[n] > limit;
        if (now && !loud) found.push_back({n, n});
        if (now) found.back().end = n + 1;
        loud = now;
    }
    return found;
}

/// Where levels rise from before to after, near step `about` (mirrored: where they fall): the first
/// rise that is nearly as great as the greatest. `levels` lie between the background and the run's.
class EdgeFinder {
  public:
    EdgeFinder(std::span<const double> levels, Seconds step)
        : count_(levels.size()),
          length_(std::max<std::size_t>(1, steps_in(edge_length, step))),
          within_(steps_in(edge_within, step)) {
        sums_ = sums_before(levels);
    }

    [[nodiscard]] std::size_t start(std::size_t about) const { return find(about, 1.0); }
    [[nodiscard]] std::size_t end(std::size_t about) const { return find(about, -1.0); }

  private:
    [[nodiscard]] double mean(std::size_t from, std::size_t to) const {
        return (sums_[to] - sums_[from]) / static_cast<double>(to - from);
    }

    [[nodiscard]] double rise(std::size_t n, double direction) const {
        if (n < length_ || n + length_ > count_) return 0.0;
        return direction * (mean(n, n + length_) - mean(n - length_, n));
    }

    [[nodiscard]] std::size_t find(std::size_t about, double direction) const {
        const std::size_t low = about - std::min(about, within_);
        std::vector<double> rises;
        for (std::size_t n = low; n <= std::min(about + within_, count_); ++n)
            rises.push_back(rise(n, direction));
        // The outermost edge: the first of a start, the last of an end.
        if (direction < 0.0) std::reverse(rises.begin(), rises.end());
        const double clear = clear_edge * *std::max_element(rises.begin(), rises.end());
        const auto first = std::find_if(rises.begin(), rises.end(),
                                        [&](double x) { return x > 0.0 && x >= clear; });
        if (first == rises.end()) return about;
        const auto reach =
            std::min<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(length_) + 1, rises.end() - first);
        const auto place =
            static_cast<std::size_t>(std::max_element(first, first + reach) - rises.begin());
        return low + (direction < 0.0 ? rises.size() - 1 - place : place);
    }

    std::size_t count_;
    std::size_t length_;
    std::size_t within_;
    std::vector<double> sums_;
};

std::vector<Stretch> joined(const std::vector<Stretch>& stretches, std::size_t dividing_steps) {
    std::vector<Stretch> result;
    for (const Stretch& stretch : stretches) {
        if (!result.empty() && stretch.first < result.back().end + dividing_steps) {
            result.back().end = std::max(result.back().end, stretch.end);
        } else {
            result.push_back(stretch);
        }
    }
    return result;
}

}  // namespace

std::vector<Stretch> loud_stretches(std::span<const double> levels, Seconds step) {
    if (levels.size() < steps_in(shortest_run, step)) return {};
    const double background = background_of(smoothed_twice(levels, step));
    std::vector<double> tamed(levels.begin(), levels.end());
    for (double& level : tamed)
        level = std::clamp(level, background - begins_above, background + counted_up_to);
    std::vector<Stretch> found = above(smoothed_twice(tamed, step), background);
    const EdgeFinder edges(tamed, step);
    for (Stretch& stretch : found) {
        if (stretch.first > 0) stretch.first = edges.start(stretch.first);
        if (stretch.end < levels.size()) stretch.end = edges.end(stretch.end);
    }
    std::erase_if(found, [](const Stretch& stretch) { return stretch.end <= stretch.first; });
    found = joined(found, steps_in(dividing, step));
    std::erase_if(found, [&](const Stretch& stretch) {
        return stretch.end - stretch.first < steps_in(shortest_run, step);
    });
    return found;
}

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
