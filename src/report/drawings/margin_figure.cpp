#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/choice/homogeneous_groups.hpp"
#include "report/assess_words.hpp"
#include "report/drawings/plot.hpp"

namespace earbudget::report {

namespace {

constexpr double margin_height = 16.0;
constexpr double widest = 60.0;  // dB to each side; what lies beyond is drawn at the edge
constexpr double label_room = 138.0;
constexpr double heading_room = 120.0;
constexpr double bold = 1.15;  // times as wide
constexpr std::size_t people_in_a_drawing = 8;

/// People alike, drawn once.
struct Drawn {
    const PersonResult* person;
    std::size_t people;
};

struct Line {
    const PersonResult* person;
    const CriterionResult* criterion;  ///< null: the person's own heading
    std::optional<MarginRange> range = std::nullopt;
    std::size_t people = 1;  ///< that it is about
};

std::vector<Line> lines_of(std::span<const Drawn> people) {
    std::vector<Line> lines;
    for (const Drawn& drawn : people) {
        lines.push_back({drawn.person, nullptr, std::nullopt, drawn.people});
        for (const CriterionResult& criterion : drawn.person->criteria) {
            if (criterion.decides && !criterion.made_for_others)
                lines.push_back({drawn.person, &criterion, criterion.margin_range, drawn.people});
        }
    }
    return lines;
}

/// "p01", "p01 +23".
std::string heading_of(const Line& line) {
    const std::string id = fitting(line.person->person->id, heading_room / bold);
    return line.people == 1 ? id : fmt::format("{} +{}", id, line.people - 1);
}

/// From the lowest to the highest margin drawn, and some room.
struct Reach {
    double from = -5.0;
    double to = 5.0;

    void hold(double dB) {
        from = std::min(from, 5.0 * std::floor(std::max(dB, -widest) / 5.0));
        to = std::max(to, 5.0 * std::ceil(std::min(dB, widest) / 5.0));
    }
};

Reach reach_of(const std::vector<Line>& lines) {
    Reach reach;
    for (const Line& line : lines) {
        if (line.criterion && line.criterion->margin) reach.hold(line.criterion->margin->dB());
        if (!line.range) continue;
        reach.hold(line.range->low.dB());
        reach.hold(line.range->high.dB());
    }
    return reach;
}

Plot::Mark mark_of(Verdict verdict) {
    static constexpr std::array marks = {Plot::Mark::Circle, Plot::Mark::HalfDisc,
                                         Plot::Mark::Question, Plot::Mark::Diamond};
    return marks[static_cast<std::size_t>(verdict)];
}

/// Cut where it would need more room than that.
std::string label_of(const CriterionResult& criterion, double room) {
    const bool peak = criterion.is_peak;
    return fitting(criterion.criterion->id, room - (peak ? 36.0 : 0.0)) + (peak ? " peak" : "");
}

void draw(const Line& line, double y, const Reach& reach, Plot& plot) {
    const CriterionResult& criterion = *line.criterion;
    plot.words(plot.frame().left - 6.0, y + 4.0, "end", label_of(criterion, label_room), "s");
    if (!criterion.margin) {
        plot.words(plot.px(0.0) + 5.0, y + 4.0, "start", value_text(criterion), "s");
        return;
    }
    const auto at = [&](double dB) { return plot.px(std::clamp(dB, reach.from, reach.to)); };
    const std::string which = data("person", line.person->person->id) +
                              data("series", criterion.criterion->id) +
                              data("quantity", criterion.quantity());
    if (line.range) {
        plot.stroke(
            at(line.range->low.dB()), y, at(line.range->high.dB()), y, "range",
            data("low", line.range->low.dB()) + data("high", line.range->high.dB()) + which);
    }
    plot.words(plot.frame().width - 4.0, y + 4.0, "end", margin_text(criterion), "s");
    plot.mark(at(criterion.margin->dB()), y, mark_of(criterion.verdict),
              data("value", criterion.margin->dB()) + which);
}

std::string range_text(const Line& line) {
    if (!line.range) return "–";
    return fmt::format("{:.1f} to {:.1f} dB", line.range->low.dB(), line.range->high.dB());
}

Table numbers_of(const std::vector<Line>& lines, std::size_t part) {
    Table table{fmt::format("Everyone's margins{}", part == 0 ? "" : fmt::format(", {}", part + 1)),
                {{.key = "criterion", .title = "person and limit"},
                 {"margin_dB", "margin"},
                 {"margin_range_dB", "5 % to 95 %"},
                 {.key = "verdict", .title = "verdict", .number = false}}};
    for (const Line& line : lines) {
        if (!line.criterion) continue;
        const std::string id = line.person->person->id;
        const std::string who =
            line.people == 1 ? id : fmt::format("{} and {} alike", id, line.people - 1);
        table.rows.push_back(
            {{fmt::format("{}, {}", who, label_of(*line.criterion, 1e9)),
              line.criterion->margin ? margin_text(*line.criterion) : value_text(*line.criterion),
              range_text(line), std::string(earbudget::name_of(line.criterion->verdict))}});
    }
    return table;
}

Drawing figure_of(const std::string& id, std::span<const Drawn> people, std::size_t part) {
    const auto lines = lines_of(people);
    const Reach reach = reach_of(lines);
    const double height = margin_height * static_cast<double>(lines.size());
    Plot plot(fmt::format("{}-{}", id, part), "Everyone's margin to each limit",
              "Margins in decibels, right of the line is left, left of it is over. The table below "
              "the drawing has the values.",
              {.height = height + 60.0, .left = 146.0, .right = 82.0, .top = 18.0, .bottom = 42.0},
              {.from = reach.from, .to = reach.to, .title = "over  ←  dB  →  left"},
              {.from = height, .to = 0.0});
    plot.number_x();
    plot.words(plot.px(0.0), plot.py(0.0) - 4.0, "middle", "limit", "s");
    double y = 0.0;
    for (const Line& line : lines) {
        const double middle = plot.py(y + 0.5 * margin_height);
        if (line.criterion) {
            // Row by row, so that it leaves out the headings.
            plot.stroke(plot.px(0.0), plot.py(y), plot.px(0.0), plot.py(y + margin_height),
                        "limit");
            draw(line, middle, reach, plot);
        } else {
            plot.words(4.0, middle + 4.0, "start",
                       fmt::format("{}: {}", heading_of(line), words_of(line.person->verdict)),
                       "b");
        }
        y += margin_height;
    }
    return {
        "Everyone's margin to each limit, in decibels. Bar: from a probability of 5 % to 95 %; "
        "none for peaks and where a threshold decides.",
        plot.markup(),
        {numbers_of(lines, part)}};
}

}  // namespace

std::vector<Drawing> margin_figures(const std::string& id, const Assessment& assessment) {
    std::vector<Drawing> figures;
    std::vector<Drawn> all;
    for (const PeopleTogether& group : people_together(assessment.people))
        all.push_back({&assessment.people[group.front()], group.size()});
    const std::span<const Drawn> people(all);
    for (std::size_t first = 0; first < people.size(); first += people_in_a_drawing) {
        const auto some =
            people.subspan(first, std::min(people_in_a_drawing, people.size() - first));
        figures.push_back(figure_of(id, some, first / people_in_a_drawing));
    }
    return figures;
}

}  // namespace earbudget::report
