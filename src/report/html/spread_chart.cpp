#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/html/charts.hpp"
#include "report/html/markup.hpp"
#include "report/html/plot.hpp"
#include "report/html/table.hpp"

namespace earbudget::report::html {

namespace {

constexpr double row_height = 32.0;  // the name above its bar

std::string ids_of(const RankedChoice& choice) {
    return fmt::format("{}", fmt::join(choice.wears, " + "));
}

Axis axis_of(const std::vector<RankedChoice>& ranking) {
    double from = 200.0, to = -50.0;
    for (const RankedChoice& choice : ranking) {
        for (const MethodOutcome& outcome : choice.methods) {
            if (!outcome.at_ear_LEX_8h) continue;
            from = std::min(from, outcome.at_ear_LEX_8h->dB());
            to = std::max(to, outcome.at_ear_LEX_8h->dB());
        }
    }
    return {.from = 5.0 * std::floor((from - 0.5) / 5.0),
            .to = 5.0 * std::ceil((to + 0.5) / 5.0),
            .title = "LEX,8h at the ear, dB(A)"};
}

void draw(const RankedChoice& choice, double y, Plot& plot) {
    const std::string who = data("series", ids_of(choice));
    plot.words(plot.frame().left, y - 10.0, "start",
               fitting(ids_of(choice), plot.frame().width - plot.frame().left - 4.0), "h");
    const MethodSpread spread = spread_of(choice.methods);
    if (!spread.lowest || !spread.highest) return;
    plot.stroke(plot.px(spread.lowest->dB()), y, plot.px(spread.highest->dB()), y, "range",
                data("low", spread.lowest->dB()) + data("high", spread.highest->dB()) + who);
    for (const MethodOutcome& outcome : choice.methods) {
        if (!outcome.at_ear_LEX_8h) continue;
        plot.mark(plot.px(outcome.at_ear_LEX_8h->dB()), y,
                  outcome.of_policy ? Plot::Mark::Diamond : Plot::Mark::Tick,
                  data("method", name_of(outcome.method)) +
                      data("value", outcome.at_ear_LEX_8h->dB()) + who);
    }
}

void add_row(const Plan& plan, const RankedChoice& choice, Table& table) {
    std::string each;
    for (const MethodOutcome& outcome : choice.methods) {
        each += fmt::format("{}{} {}", each.empty() ? "" : ", ", name_of(outcome.method),
                            level_text(outcome.at_ear_LEX_8h));
    }
    table.row({text(names_of(plan.catalogue, choice.wears)),
               choice.method ? std::string(name_of(*choice.method)) : "none", text(each)});
}

}  // namespace

std::string spread_figure(std::string_view id, const Plan& plan, const PersonChoice& choice) {
    const auto& ranking = choice.ranking;
    const Axis axis = axis_of(ranking);
    if (ranking.empty() || axis.to <= axis.from) return "";
    const double height = row_height * static_cast<double>(ranking.size());
    const std::string words =
        "LEX,8h at the ear by every published method that the data allow, best first. Strokes: the "
        "methods; diamond: the one of the policy; bar: how far they lie apart.";
    Plot plot(std::string(id), choice.person->id + ": how far methods lie apart", words,
              {.height = height + 46.0, .left = 14.0, .right = 16.0, .top = 4.0, .bottom = 42.0},
              axis, {.from = height, .to = 0.0});
    plot.number_x();
    Table table(choice.person->id + ": LEX,8h at the ear by every method, dB(A)",
                {{"worn"}, {"policy's"}, {"each"}});
    double y = 0.7 * row_height;
    for (const RankedChoice& ranked : ranking) {
        draw(ranked, plot.py(y), plot);
        add_row(plan, ranked, table);
        y += row_height;
    }
    return figure(words, plot.markup(), table.markup());
}

}  // namespace earbudget::report::html
