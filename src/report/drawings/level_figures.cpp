#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "report/assess_words.hpp"
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

using Spectrum = std::vector<EarBandLevel>;

bool is_through(const Spectrum& spectrum) {
    return std::ranges::any_of(spectrum,
                               [](const EarBandLevel& band) { return band.at_ear.has_value(); });
}

Axis spectrum_axis(const Spectrum& spectrum) {
    double lowest = 200.0, highest = -20.0;
    for (const EarBandLevel& band : spectrum) {
        highest = std::max(highest, band.outside.dB());
        lowest = std::min({lowest, band.outside.dB(), band.at_ear.value_or(band.outside).dB()});
    }
    // What lies far below the loudest band adds nothing.
    lowest = std::max(lowest, highest - 100.0);
    return axis_around(lowest, highest + 1.0, 10.0, "level, dB(A)");
}

struct Curve {
    std::vector<double> places, levels, frequencies;

    void add(std::size_t place, const EarBandLevel& band, LevelA level) {
        places.push_back(static_cast<double>(place));
        levels.push_back(level.dB());
        frequencies.push_back(nominal_frequency(band.band).Hz());
    }
};

void draw_curve(const Curve& curve, std::string_view name, std::size_t n, Plot::Mark mark,
                Plot& plot) {
    plot.line(curve.places, curve.levels, n,
              data("series", name) + data("x", curve.frequencies) + data("y", curve.levels));
    for (std::size_t i = 0; i < curve.places.size(); ++i)
        plot.mark(plot.px(curve.places[i]),
                  std::min(plot.py(curve.levels[i]), plot.frame().height - plot.frame().bottom),
                  mark);
    // Above the drawing, since the ends of the lines may be close to one another.
    const double key = plot.frame().left + 12.0 + 90.0 * static_cast<double>(n);
    plot.mark(key, 9.0, mark);
    plot.words(key + 9.0, 13.0, "start", name, "s");
}

void draw_bands(const Spectrum& spectrum, const Axis& axis, Plot& plot) {
    const double floor = plot.py(axis.from);
    for (std::size_t n = 0; n < spectrum.size(); ++n) {
        const EarBandLevel& band = spectrum[n];
        const double x = plot.px(static_cast<double>(n));
        std::string name(name_of(band.band));
        if (name.size() > 3 && name.ends_with("000")) name.replace(name.size() - 3, 3, "k");
        plot.words(x, floor + 16.0, "middle", name);
        if (!band.at_ear) continue;
        const double above = std::min(plot.py(band.outside.dB()), floor);
        const double below = std::min(plot.py(band.at_ear->dB()), floor);
        plot.stroke(x, above, x, below, "between",
                    data("attenuation", band.attenuation->dB()) + data("band", name_of(band.band)));
        plot.words(x + 3.0, 0.5 * (above + below) + 4.0, "start",
                   decimal_text(band.attenuation->dB(), 0), "h");
    }
    plot.stroke(plot.frame().left, floor, plot.frame().width - plot.frame().right, floor, "axis");
    plot.words(0.5 * (plot.frame().left + plot.frame().width - plot.frame().right),
               plot.frame().height - 6.0, "middle", "octave band, Hz");
}

Table numbers_of(const std::string& name, const Spectrum& spectrum) {
    Table table{name,
                {{"Hz", "octave band", "Hz"},
                 {"LAeq_dB", "outside", "dB(A)"},
                 {"attenuation_dB", "attenuation", "dB"},
                 {"at_ear_LAeq_dB", "at the ear", "dB(A)"}}};
    for (const EarBandLevel& band : spectrum)
        table.rows.push_back(
            {{std::string(name_of(band.band)), band.outside.dB(),
              decibel_cell(band.attenuation, "not said"), decibel_cell(band.at_ear, "not said")}});
    return table;
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

std::vector<Drawing> spectrum_figure(const std::string& id, const Plan& plan,
                                     const PersonResult& person) {
    if (!person.spectrum || person.spectrum->bands.size() < 2) return {};
    const Spectrum& spectrum = person.spectrum->bands;
    const bool through = is_through(spectrum);
    const std::string& sequence = plan.sequences[person.spectrum->sequence].id;
    const Axis axis = spectrum_axis(spectrum);
    const std::string words = fmt::format(
        "{}, which has most of the sound energy at the ear, in octave bands{}", sequence,
        through ? "; between the lines the attenuation counted on, dB."
                : ", outside: nothing worn, or no method by bands.");
    Plot plot(id, person.person->id + ": spectrum of " + sequence, words,
              {.height = 200.0, .left = 44.0, .right = 6.0, .top = 24.0},
              {.from = -0.4, .to = static_cast<double>(spectrum.size()) - 0.5}, axis);
    plot.number_y();
    draw_bands(spectrum, axis, plot);
    Curve outside, at_ear;
    for (std::size_t n = 0; n < spectrum.size(); ++n) {
        outside.add(n, spectrum[n], spectrum[n].outside);
        if (spectrum[n].at_ear) at_ear.add(n, spectrum[n], *spectrum[n].at_ear);
    }
    draw_curve(outside, "outside", 0, Plot::Mark::Square, plot);
    if (through) draw_curve(at_ear, "at the ear", 1, Plot::Mark::Disc, plot);
    return {{words,
             plot.markup(),
             {numbers_of(fmt::format("{}: {} by octave band", person.person->id, sequence),
                         spectrum)}}};
}

}  // namespace earbudget::report
