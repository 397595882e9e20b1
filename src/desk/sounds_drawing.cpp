#include "desk/sounds_drawing.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "report/drawings/plot.hpp"

namespace earbudget::desk {

namespace {

using report::Plot;

/// One line of a drawing: a value a band, where there is one.
struct BandSeries {
    std::string key, name;
    std::array<std::optional<double>, octave_band_count> values = {};
};

struct BandDrawing {
    std::string id, title, words, axis;
    std::string_view unit;
    std::vector<BandSeries> series;
};

report::Axis axis_of(const BandDrawing& drawing) {
    double lowest = 200.0, highest = -20.0;
    for (const BandSeries& series : drawing.series) {
        for (const auto& value : series.values) {
            lowest = std::min(lowest, value.value_or(lowest));
            highest = std::max(highest, value.value_or(highest));
        }
    }
    return report::axis_around(lowest - 1.0, highest + 1.0, 10.0, drawing.axis);
}

void draw_series(const BandSeries& series, std::size_t n, Plot& plot) {
    constexpr std::array marks = {Plot::Mark::Square, Plot::Mark::Disc};
    std::vector<double> places, values, frequencies;
    for (std::size_t band = 0; band < series.values.size(); ++band) {
        if (!series.values[band]) continue;
        places.push_back(static_cast<double>(band));
        values.push_back(*series.values[band]);
        frequencies.push_back(nominal_frequency(octave_bands[band]).Hz());
    }
    plot.line(places, values, n,
              report::data("series", series.key) + report::data("x", frequencies) +
                  report::data("y", values));
    for (std::size_t i = 0; i < places.size(); ++i)
        plot.mark(plot.px(places[i]), plot.py(values[i]), marks.at(n));
    const double key = plot.frame().left + 12.0 + 110.0 * static_cast<double>(n);
    plot.mark(key, 9.0, marks.at(n));
    plot.words(key + 9.0, 13.0, "start", series.name, "s");
}

void draw_axis_of_bands(const report::Axis& axis, Plot& plot) {
    const double floor = plot.py(axis.from);
    for (std::size_t band = 0; band < octave_band_count; ++band) {
        std::string name(octave_band_names[band]);
        if (name.size() > 3 && name.ends_with("000")) name.replace(name.size() - 3, 3, "k");
        plot.words(plot.px(static_cast<double>(band)), floor + 16.0, "middle", name);
    }
    const double right = plot.frame().width - plot.frame().right;
    plot.stroke(plot.frame().left, floor, right, floor, "axis");
    plot.words(0.5 * (plot.frame().left + right), plot.frame().height - 6.0, "middle",
               "octave band, Hz");
}

report::Table numbers_of_bands(const BandDrawing& drawing) {
    report::Table table{drawing.title, {{"Hz", "octave band", "Hz"}}};
    for (const BandSeries& series : drawing.series)
        table.columns.push_back({series.key, series.name, drawing.unit});
    for (std::size_t band = 0; band < octave_band_count; ++band) {
        report::Row row{{std::string(octave_band_names[band])}};
        bool any = false;
        for (const BandSeries& series : drawing.series) {
            row.cells.emplace_back(series.values[band], "–");
            any = any || series.values[band];
        }
        if (any) table.rows.push_back(std::move(row));
    }
    return table;
}

report::Drawing drawn(const BandDrawing& drawing) {
    const report::Axis axis = axis_of(drawing);
    Plot plot(drawing.id, drawing.title, drawing.words,
              {.height = 210.0, .left = 44.0, .right = 6.0, .top = 24.0},
              {.from = -0.4, .to = static_cast<double>(octave_band_count) - 0.5}, axis);
    plot.number_y();
    draw_axis_of_bands(axis, plot);
    for (std::size_t n = 0; n < drawing.series.size(); ++n)
        draw_series(drawing.series[n], n, plot);
    return {drawing.words, plot.markup(), {numbers_of_bands(drawing)}};
}

report::Table levels_table(const Sequence& card) {
    const SoundLevels& levels = card.levels;
    report::Table table{
        "Levels at the participant's ear, nobody protected",
        {{.key = "quantity", .title = "quantity", .number = false}, {"level", "level"}}};
    const auto add = [&](std::string name, const auto& level, std::string_view unit,
                         std::string_view without) {
        report::Cell cell(level ? std::optional(level->dB()) : std::nullopt, without);
        cell.unit = unit;
        table.rows.push_back({{std::move(name), std::move(cell)}});
    };
    add(card.LAeq_is_upper_bound ? "LAeq, an upper bound" : "LAeq", std::optional(levels.LAeq),
        "dB(A)", "");
    add(levels.LCeq ? "LCeq" : "LCeq, of the bands", levels.c_weighted_level(), "dB(C)",
        "not stated");
    add("LCpeak", levels.LCpeak, "dB(C)", "not stated");
    add("LZpeak", levels.LZpeak, "dB", "not stated");
    add("standard uncertainty (k = 1)", levels.uncertainty, "dB", "not stated");
    return table;
}

}  // namespace

std::vector<report::Block> level_blocks(const std::string& id, const Sequence& card) {
    const SoundLevels& levels = card.levels;
    BandSeries plain{"octave", "unweighted"}, weighted{"octave_A", "A-weighted"};
    const OctaveLevelsA weighted_levels = levels.a_weighted_octaves();
    for (std::size_t band = 0; band < octave_band_count; ++band) {
        if (const auto level = levels.octave.at(octave_bands[band]))
            plain.values[band] = level->dB();
        if (const auto level = weighted_levels.at(octave_bands[band]))
            weighted.values[band] = level->dB();
    }
    const std::vector<report::Block> table = {{levels_table(card)}};
    if (weighted_levels.bands().count() < 2) {
        return {{report::Beside{"pair",
                                {table,
                                 {{report::Paragraph{"No octave bands are stated: methods by bands "
                                                     "cannot be used with this card."}}}}}}};
    }
    BandDrawing drawing{id,
                        card.id + ": octave bands",
                        fmt::format("{} in octave bands{}.", card.id,
                                    levels.borrowed ? ", those of " + levels.borrowed->card +
                                                          " shifted to this LAeq"
                                                    : std::string()),
                        "level, dB",
                        "dB",
                        {}};
    if (!levels.octave.empty()) drawing.series.push_back(plain);
    drawing.series.push_back(weighted);
    const report::Figure figure{[drawing] { return std::vector{drawn(drawing)}; }};
    return {{report::Beside{"pair", {table, {{figure}}}}}};
}

std::vector<report::Block> attenuation_blocks(const std::string& id, const std::string& of,
                                              const OctaveAttenuation& attenuation) {
    BandSeries mean{"mean", "mean"}, assumed{"assumed", "mean − sd"};
    for (std::size_t band = 0; band < octave_band_count; ++band) {
        if (!attenuation.has(octave_bands[band])) continue;
        mean.values[band] = attenuation.mean(octave_bands[band]).dB();
        assumed.values[band] = attenuation.assumed_protection_value(octave_bands[band], 1.0).dB();
    }
    if (attenuation.bands().count() < 2) return {};
    const BandDrawing drawing{id,
                              of + ": attenuation by octave band",
                              fmt::format("{}: attenuation by octave band; some 84 % of people get "
                                          "more than the lower line.",
                                          of),
                              "attenuation, dB",
                              "dB",
                              {mean, assumed}};
    return {{report::Figure{[drawing] { return std::vector{drawn(drawing)}; }}}};
}

}  // namespace earbudget::desk
