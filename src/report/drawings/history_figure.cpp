#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "report/drawings/figures.hpp"
#include "report/drawings/plot.hpp"

namespace earbudget::report {

namespace {

/// As the JSON has it.
double to_a_thousandth(double value) { return std::round(value * 1000.0) / 1000.0 + 0.0; }

/// Seconds with a level that follow one another.
struct Loudness {
    std::vector<double> seconds, levels;
};

std::vector<Loudness> loudness_of(const ChannelLevels& levels, Seconds from) {
    std::vector<Loudness> stretches(1);
    for (std::size_t n = 0; n < levels.seconds.size(); ++n) {
        if (!levels.seconds[n]) {
            if (!stretches.back().seconds.empty()) stretches.emplace_back();
            continue;
        }
        stretches.back().seconds.push_back(from.count() + static_cast<double>(n));
        stretches.back().levels.push_back(to_a_thousandth(levels.seconds[n]->dB()));
    }
    return stretches;
}

Axis history_axis(const std::vector<Loudness>& stretches) {
    double lowest = 200.0, highest = -50.0;
    for (const Loudness& stretch : stretches) {
        for (const double level : stretch.levels) {
            lowest = std::min(lowest, level);
            highest = std::max(highest, level);
        }
    }
    return axis_around(lowest - 1.0, highest + 1.0, 5.0, "LAeq of each second, dB(A)");
}

void draw_runs(const MeasuredChannel& channel, Seconds from, double top, Plot& plot) {
    for (std::size_t n = 0; n < channel.runs.size(); ++n) {
        const SequenceRun& run = channel.runs[n].run;
        const double start = (from + run.start).count();
        const double end = (from + run.end).count();
        plot.bar(plot.px(start), plot.px(end), plot.py(top) - 8.0, plot.py(top) - 3.0, "runs",
                 data("start", to_a_thousandth(start)) + data("end", to_a_thousandth(end)));
        plot.words(0.5 * (plot.px(start) + plot.px(end)), plot.py(top) - 11.0, "middle",
                   fmt::format("run {}", n + 1), "s");
    }
}

}  // namespace

std::vector<Drawing> history_figure(const std::string& id, std::string_view name,
                                    const MeasuredChannel& channel, Seconds from) {
    const auto stretches = loudness_of(channel.levels, from);
    if (stretches.front().seconds.empty() || !channel.levels.LAeq) return {};
    const Axis axis = history_axis(stretches);
    const double average = to_a_thousandth(channel.levels.LAeq->dB());
    const auto all = std::max(1.0, static_cast<double>(channel.levels.seconds.size()));
    const std::string words = fmt::format(
        "{}: LAeq of each second, {:.0f} in all; the level line is LAeq of the whole, {:.1f} "
        "dB(A).",
        name, all, average);
    Plot plot(id, fmt::format("{}: level history", name), words,
              {.height = 230.0, .right = 84.0, .top = 28.0},
              {.from = from.count(),
               .to = from.count() + std::max(1.0, all - 1.0),
               .title = "time in the recording, s"},
              axis);
    plot.number_x();
    plot.number_y();
    if (average > axis.from && average < axis.to) {
        plot.stroke(plot.frame().left, plot.py(average), plot.frame().width - plot.frame().right,
                    plot.py(average), "limit", data("value", average));
        plot.words(plot.frame().width - plot.frame().right + 4.0, plot.py(average) + 4.0, "start",
                   fmt::format("LAeq {:.1f}", average), "s");
    }
    for (const Loudness& stretch : stretches) {
        if (stretch.seconds.empty()) continue;
        plot.line(
            stretch.seconds, stretch.levels, 0,
            data("series", "LAeq_1s") + data("x", stretch.seconds) + data("y", stretch.levels));
    }
    draw_runs(channel, from, axis.to, plot);
    return {{words, plot.markup()}};
}

}  // namespace earbudget::report
