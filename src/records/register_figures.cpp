#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "records/register_totals.hpp"
#include "report/assess_words.hpp"
#include "report/drawings/plot.hpp"

namespace earbudget::records {

namespace {

using report::data;
using report::Plot;

constexpr double widest_dB = 60.0;  // to each side; what lies beyond is drawn at the edge

Plot::Mark mark_of_day(Verdict verdict) {
    static constexpr std::array marks = {Plot::Mark::Circle, Plot::Mark::HalfDisc,
                                         Plot::Mark::Question, Plot::Mark::Diamond};
    return marks[static_cast<std::size_t>(verdict)];
}

/// What is left to the tightest limit of a day; none where that is not known.
std::optional<double> left_on(const DayAnswer& day) {
    const CriterionResult* const tightest = day.total.judged->tightest();
    if (!tightest || !tightest->margin || tightest->made_for_others) return std::nullopt;
    return tightest->margin->dB();
}

report::Table numbers_of_days(const PersonAnswer& person) {
    report::Table table{
        fmt::format("{}, {}: what is left, day by day", person.as, name_of(person.role)),
        {{.key = "date", .title = "day", .number = false},
         {"margin_dB", "left to the tightest limit", "dB"},
         {.key = "id", .title = "limit", .number = false},
         {.key = "verdict", .title = "verdict", .number = false}}};
    for (const DayAnswer& day : person.days) {
        const CriterionResult* const tightest = day.total.judged->tightest();
        table.rows.push_back(
            {{sessions::iso_date(day.total.day), report::Cell(left_on(day), "not known"),
              tightest ? tightest->criterion->id : std::string("–"),
              std::string(name_of(day.total.judged->verdict))}});
    }
    return table;
}

}  // namespace

std::vector<report::Drawing> days_figure(const std::string& id, const PersonAnswer& person) {
    double lowest = -5.0, highest = 5.0;
    bool any = false;
    for (const DayAnswer& day : person.days) {
        if (const auto left = left_on(day)) {
            lowest = std::min(lowest, 5.0 * std::floor(std::max(*left, -widest_dB) / 5.0));
            highest = std::max(highest, 5.0 * std::ceil(std::min(*left, widest_dB) / 5.0));
            any = true;
        }
    }
    if (!any) return {};
    const auto first = person.days.front().total.day;
    const double days = std::max(6.0, 1.0 * (person.days.back().total.day.number - first.number));
    const std::string words = fmt::format(
        "What is left to the tightest limit of each day of {}, as {}, from {}: below the line a "
        "limit is exceeded. The mark is that of the day's verdict.",
        person.as, name_of(person.role), sessions::iso_date(first));
    Plot plot(id, person.as + ": what is left, day by day", words, {},
              {.from = -0.5, .to = days + 0.5, .title = "days since " + sessions::iso_date(first)},
              {.from = lowest, .to = highest, .title = "dB left"});
    plot.number_x();
    plot.number_y();
    plot.stroke(plot.px(-0.5), plot.py(0.0), plot.px(days + 0.5), plot.py(0.0), "limit");
    for (const DayAnswer& day : person.days) {
        const auto left = left_on(day);
        if (!left) continue;
        const double at = day.total.day.number - first.number;
        plot.mark(plot.px(at), plot.py(std::clamp(*left, lowest, highest)),
                  mark_of_day(day.total.judged->verdict),
                  data("date", sessions::iso_date(day.total.day)) + data("value", *left) +
                      data("series", person.as));
    }
    return {{words, plot.markup(), {numbers_of_days(person)}}};
}

}  // namespace earbudget::records
