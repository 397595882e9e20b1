#include <algorithm>

#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/drawings/plot.hpp"

namespace earbudget::report {

namespace {

constexpr double share_height = 18.0;
constexpr double spread_height = 32.0;  // the name above its bar

/// Rows from above, each of one thing, along one axis.
Plot plot_of_rows(const std::string& id, const std::string& title, const std::string& words,
                  double height, double left, double right, Axis axis) {
    Plot plot(id, title, words,
              {.height = height + 46.0, .left = left, .right = right, .top = 4.0, .bottom = 42.0},
              std::move(axis), {.from = height, .to = 0.0});
    plot.number_x();
    return plot;
}

std::string name_of_share(const Plan& plan, const Share& share) {
    return share.sequence ? plan.sequences[*share.sequence].id : std::string("no sequence");
}

Axis spread_axis(const std::vector<RankedChoice>& ranking) {
    double from = 200.0, to = -50.0;
    for (const RankedChoice& choice : ranking) {
        for (const MethodOutcome& outcome : choice.methods) {
            if (!outcome.at_ear_LEX_8h) continue;
            from = std::min(from, outcome.at_ear_LEX_8h->dB());
            to = std::max(to, outcome.at_ear_LEX_8h->dB());
        }
    }
    return axis_around(from - 0.5, to + 0.5, 5.0, "LEX,8h at the ear, dB(A)");
}

void draw_spread(const RankedChoice& choice, const std::string& worn, double y, Plot& plot) {
    const std::string who = data("series", worn);
    plot.words(plot.frame().left, y - 10.0, "start",
               fitting(worn, plot.frame().width - plot.frame().left - 4.0), "h");
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

std::string words_of_each(const RankedChoice& choice) {
    return joined(choice.methods, ", ", [](const MethodOutcome& outcome) {
        return fmt::format("{} {}", name_of(outcome.method), level_text(outcome.at_ear_LEX_8h));
    });
}

}  // namespace

std::vector<Drawing> share_figure(const std::string& id, const Plan& plan,
                                  const PersonResult& person) {
    const auto& shares = person.sequence_shares;
    if (shares.empty()) return {};
    const std::string words =
        fmt::format("Share of the day's sound energy at the ear by sequence; {} has {}.",
                    name_of_share(plan, shares.front()), percent_text(shares.front().percent));
    const std::string title = person.person->id + ": share by sequence";
    Plot plot = plot_of_rows(id, title, words, share_height * static_cast<double>(shares.size()),
                             112.0, 54.0, {.from = 0.0, .to = 100.0, .title = "share, %"});
    Table table{title,
                {{.key = "sequence", .title = "sequence"},
                 {"share_percent", "share"},
                 {"drop_dB", "LEX,8h falls without it by"}}};
    double y = 0.0;
    for (const Share& share : shares) {
        const std::string name = name_of_share(plan, share);
        plot.bar(plot.px(0.0), plot.px(share.percent), plot.py(y + 2.5),
                 plot.py(y + share_height - 2.5), "share",
                 data("value", share.percent) + data("series", name));
        plot.words(plot.frame().left - 5.0, plot.py(y + 13.0), "end",
                   fitting(name, plot.frame().left - 7.0));
        plot.words(plot.px(share.percent) + 4.0, plot.py(y + 13.0), "start",
                   percent_text(share.percent), "s");
        table.rows.push_back(
            {{name, percent_text(share.percent),
              share.drop ? decimal_text(share.drop->dB(), 1) + " dB" : "nothing is left"}});
        y += share_height;
    }
    return {{words, plot.markup(), {std::move(table)}}};
}

std::vector<Drawing> spread_figure(const std::string& id, const Plan& plan,
                                   const PersonChoice& choice) {
    const auto& ranking = choice.ranking;
    const Axis axis = spread_axis(ranking);
    if (ranking.empty() || axis.to <= axis.from) return {};
    const std::string words =
        "LEX,8h at the ear by every published method that the data allow, best first. Strokes: the "
        "methods; diamond: the one of the policy; bar: how far they lie apart.";
    Plot plot = plot_of_rows(id, choice.person->id + ": how far methods lie apart", words,
                             spread_height * static_cast<double>(ranking.size()), 14.0, 16.0, axis);
    Table table{choice.person->id + ": LEX,8h at the ear by every method, dB(A)",
                {{.key = "wears", .title = "worn"},
                 {.key = "method", .title = "policy's", .number = false},
                 {.key = "methods", .title = "each", .number = false}}};
    double y = 0.7 * spread_height;
    for (const RankedChoice& ranked : ranking) {
        const std::string worn = short_names_of(plan.catalogue, ranked.wears);
        draw_spread(ranked, worn, plot.py(y), plot);
        table.rows.push_back({{names_of(plan.catalogue, ranked.wears),
                               std::string(ranked.method ? name_of(*ranked.method) : "none"),
                               words_of_each(ranked)}});
        y += spread_height;
    }
    return {{words, plot.markup(), {std::move(table)}}};
}

}  // namespace earbudget::report
