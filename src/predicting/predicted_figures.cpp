#include "predicting/predicted_figures.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "report/drawings/plot.hpp"

namespace earbudget::predicting {

namespace {

// From 50 Hz to 10 kHz: beyond either end gradients sound little.
constexpr std::size_t first_band = 4;
constexpr std::size_t last_band = 27;
constexpr double deepest_drawn_dB = 70.0;  // below the highest

struct BandCurve {
    std::string name;
    std::vector<double> places, levels, frequencies;

    void add(std::size_t band, double level) {
        places.push_back(static_cast<double>(band));
        levels.push_back(std::round(level * 1000.0) / 1000.0 + 0.0);
        frequencies.push_back(third_octave_mid_band(band).Hz());
    }
};

report::Table numbers_of(const std::string& name, const std::vector<BandCurve>& curves) {
    report::Table table{.name = name,
                        .columns = {{"frequency_Hz", "third octave", "Hz", 0},
                                    {.key = "of", .title = "of", .number = false},
                                    {"level_dB", "level", "dB"}}};
    for (const BandCurve& curve : curves) {
        for (std::size_t n = 0; n < curve.places.size(); ++n)
            table.rows.push_back(
                {report::list_of<report::Cell>(curve.frequencies[n], curve.name, curve.levels[n])});
    }
    return table;
}

void draw_curve_of_bands(const BandCurve& curve, std::size_t n, report::Plot& plot) {
    using Mark = report::Plot::Mark;
    constexpr std::array marks = {Mark::Disc, Mark::Square, Mark::Diamond};
    plot.line(curve.places, curve.levels, n,
              report::data("series", curve.name) + report::data("x", curve.frequencies) +
                  report::data("y", curve.levels));
    for (std::size_t i = 0; i < curve.places.size(); ++i)
        plot.mark(plot.px(curve.places[i]),
                  std::min(plot.py(curve.levels[i]), plot.frame().height - plot.frame().bottom),
                  marks[n % marks.size()]);
    if (curve.name.size() > 1) return;
    const double key = plot.frame().left + 12.0 + 40.0 * static_cast<double>(n);
    plot.mark(key, 9.0, marks[n % marks.size()]);
    plot.words(key + 9.0, 13.0, "start", curve.name, "s");
}

/// None where there is nothing to draw.
std::vector<report::Drawing> drawing_of(const std::string& id, const std::string& caption,
                                        const std::string& y_title,
                                        const std::vector<BandCurve>& curves) {
    double highest = -1e9;
    double lowest = 1e9;
    for (const BandCurve& curve : curves) {
        for (const double level : curve.levels) {
            highest = std::max(highest, level);
            lowest = std::min(lowest, level);
        }
    }
    if (lowest > highest) return {};
    const report::Axis x{first_band - 0.5, last_band + 0.5, ""};
    report::Plot plot(id, caption, caption, report::Frame{}, x,
                      report::axis_around(std::max(lowest, highest - deepest_drawn_dB),
                                          highest + 1.0, 10.0, y_title));
    plot.number_y();
    const double floor = plot.frame().height - plot.frame().bottom;
    for (const auto& [band, name] : {std::pair{5U, "63"},
                                     {8U, "125"},
                                     {11U, "250"},
                                     {14U, "500"},
                                     {17U, "1k"},
                                     {20U, "2k"},
                                     {23U, "4k"},
                                     {26U, "8k"}})
        plot.words(plot.px(static_cast<double>(band)), floor + 16.0, "middle", name);
    plot.stroke(plot.frame().left, floor, plot.frame().width - plot.frame().right, floor, "axis");
    plot.words(0.5 * (plot.frame().left + plot.frame().width - plot.frame().right),
               plot.frame().height - 6.0, "middle", "third octave, Hz");
    for (std::size_t n = 0; n < curves.size(); ++n)
        draw_curve_of_bands(curves[n], n, plot);
    return {report::Drawing{caption, plot.markup(), {numbers_of(id + "-numbers", curves)}}};
}

BandCurve curve_of_slew(const ExpectedSound& levels) {
    BandCurve curve{"slew", {}, {}, {}};
    for (std::size_t band = first_band; band <= last_band; ++band) {
        const double energy = band_mean_square(levels.slew, third_octave_lower_edge(band),
                                               third_octave_upper_edge(band));
        if (energy > 0.0) curve.add(band, 10.0 * std::log10(energy));
    }
    return curve;
}

BandCurve curve_of_sound(const ExpectedSound& levels) {
    BandCurve curve{"sound", {}, {}, {}};
    for (std::size_t band = first_band; band <= last_band; ++band) {
        if (levels.third_octave[band]) curve.add(band, levels.third_octave[band]->dB());
    }
    return curve;
}

/// Root mean square of the lines that are known in each band.
BandCurve curve_of_axis(const ScannerResponse& response, std::size_t axis, std::string name) {
    BandCurve curve{std::move(name), {}, {}, {}};
    const auto& lines = response.axes[axis].lines;
    for (std::size_t band = first_band; band <= last_band; ++band) {
        double sum = 0.0;
        std::size_t count = 0;
        const auto from =
            static_cast<std::size_t>(third_octave_lower_edge(band) / response.bin_width) + 1;
        for (std::size_t k = from; k < lines.size() && static_cast<double>(k) * response.bin_width <
                                                           third_octave_upper_edge(band);
             ++k) {
            if (!lines[k]) continue;
            sum += std::norm(lines[k]->Pa_per_T_per_m);
            ++count;
        }
        if (sum > 0.0) curve.add(band, 10.0 * std::log10(sum / static_cast<double>(count)));
    }
    return curve;
}

}  // namespace

std::vector<report::Drawing> sound_figures(const PredictedSound& sound) {
    std::vector<report::Drawing> all;
    const auto add = [&all](std::vector<report::Drawing> drawings) {
        for (report::Drawing& drawing : drawings)
            all.push_back(std::move(drawing));
    };
    add(drawing_of("slew-spectrum", "What drives it: the slew of all axes", "dB re 1 T/m/s",
                   {curve_of_slew(sound.levels)}));
    const ScannerResponse& response = sound.response.response;
    add(drawing_of("scanner-response", "The scanner's response by axis", "dB re 1 Pa/(T/m)",
                   {curve_of_axis(response, 0, "x"), curve_of_axis(response, 1, "y"),
                    curve_of_axis(response, 2, "z")}));
    add(drawing_of("predicted-spectrum", "The sound that is expected", "Leq, dB",
                   {curve_of_sound(sound.levels)}));
    return all;
}

std::vector<report::Drawing> varied_figure(const Varied& varied) {
    std::vector<double> scales;
    std::vector<double> levels;
    for (const VariedLevel& each : varied.levels) {
        if (!each.LAeq) continue;
        scales.push_back(std::round(each.scale * 1e4) / 1e4);
        levels.push_back(std::round(each.LAeq->dB() * 1000.0) / 1000.0);
    }
    if (scales.size() < 2) return {};
    const std::string caption = varied.request.stretch == TimingChange::Time
                                    ? "LAeq over the scale of time"
                                    : "LAeq over the scale of the plateaus";
    report::Plot plot(
        "varied-level", caption, caption, report::Frame{},
        report::Axis{scales.front(), scales.back(), "scale"},
        report::axis_around(*std::ranges::min_element(levels) - 1.0,
                            *std::ranges::max_element(levels) + 1.0, 5.0, "LAeq, dB(A)"));
    plot.number_x();
    plot.number_y();
    plot.line(
        scales, levels, 0,
        report::data("series", "LAeq") + report::data("x", scales) + report::data("y", levels));
    for (std::size_t n = 0; n < scales.size(); ++n)
        plot.mark(plot.px(scales[n]), plot.py(levels[n]), report::Plot::Mark::Disc);
    report::Table table{.name = "varied-level-numbers",
                        .columns = {{"scale", "scale", "", 3}, {"LAeq_dB", "LAeq", "dB(A)"}}};
    for (std::size_t n = 0; n < scales.size(); ++n)
        table.rows.push_back({report::list_of<report::Cell>(scales[n], levels[n])});
    return {report::Drawing{caption, plot.markup(), {table}}};
}

}  // namespace earbudget::predicting
