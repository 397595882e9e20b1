#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "report/assess_words.hpp"
#include "report/drawings/figures.hpp"
#include "report/drawings/plot.hpp"

namespace earbudget::report {

namespace {

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
