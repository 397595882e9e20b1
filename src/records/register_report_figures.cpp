#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "records/register_report.hpp"
#include "report/drawings/plot.hpp"

namespace earbudget::records {

namespace {

using report::data;
using report::Plot;

constexpr double row_height = 20.0;
constexpr std::size_t people_in_one_drawing = 25;  // own choice

/// Somebody's loudest day outside.
struct LoudestDay {
    const PersonAnswer* person;
    const DayAnswer* day;
    double LEX_dB;
};

std::vector<LoudestDay> loudest_days(const RegisterReport& report) {
    std::vector<LoudestDay> all;
    for (const PersonAnswer& person : report.totals.people) {
        const DayAnswer* loudest = nullptr;
        for (const DayAnswer& day : person.days) {
            const auto& LEX = day.total.judged->exposure.LEX_8h;
            if (LEX && (!loudest || *LEX > *loudest->total.judged->exposure.LEX_8h)) loudest = &day;
        }
        if (loudest)
            all.push_back({&person, loudest, loudest->total.judged->exposure.LEX_8h->dB()});
    }
    return all;
}

/// Limits on LEX,8h outside, by their ids.
std::map<std::string, double> limits_outside(const std::vector<LoudestDay>& days) {
    std::map<std::string, double> limits;
    for (const LoudestDay& one : days) {
        for (const CriterionResult& result : one.day->total.judged->criteria) {
            const bool is_LEX = result.criterion->quantity == ExposureQuantity::LEX_8h;
            if (!result.is_peak && !result.at_ear && is_LEX)
                limits.emplace(result.criterion->id, result.limit);
        }
    }
    return limits;
}

report::Drawing staff_drawing(const std::string& id, const std::string& month,
                              std::span<const LoudestDay> days,
                              const std::map<std::string, double>& limits) {
    double lowest = 75.0, highest = 90.0;
    for (const LoudestDay& one : days) {
        lowest = std::min(lowest, 5.0 * std::floor(one.LEX_dB / 5.0));
        highest = std::max(highest, 5.0 * std::ceil(one.LEX_dB / 5.0));
    }
    const double height = row_height * static_cast<double>(days.size());
    const std::string words = fmt::format(
        "The loudest day of each member of staff in {}, LEX,8h outside of any protector{}.", month,
        limits.empty() ? "" : "; the strokes are action values and limits that count so");
    Plot plot(id, "Staff in " + month, words,
              {.height = height + 60.0, .left = 100.0, .right = 16.0, .top = 18.0, .bottom = 42.0},
              {.from = lowest, .to = highest, .title = "LEX,8h, dB(A)"},
              {.from = height, .to = 0.0});
    plot.number_x();
    for (const auto& [limit, dB] : limits)
        plot.stroke(plot.px(dB), plot.py(0.0), plot.px(dB), plot.py(height), "limit",
                    data("series", limit) + data("limit", dB));
    report::Table table{"Loudest days of staff, " + month,
                        {{.key = "as", .title = "who", .number = false},
                         {.key = "date", .title = "day", .number = false},
                         {"LEX_8h_dB", "LEX,8h outside", "dB(A)"}}};
    double y = 0.5 * row_height;
    for (const LoudestDay& one : days) {
        plot.words(plot.frame().left - 6.0, plot.py(y) + 4.0, "end",
                   report::fitting(one.person->as, plot.frame().left - 8.0));
        plot.mark(plot.px(one.LEX_dB), plot.py(y), Plot::Mark::Disc,
                  data("series", one.person->as) + data("value", one.LEX_dB));
        table.rows.push_back(
            {{one.person->as, sessions::iso_date(one.day->total.day), one.LEX_dB}});
        y += row_height;
    }
    return {words, plot.markup(), {std::move(table)}};
}

}  // namespace

std::vector<report::Drawing> staff_figure(const RegisterReport& report) {
    const auto days = loudest_days(report);
    const auto limits = limits_outside(days);
    std::vector<report::Drawing> drawings;
    for (std::size_t from = 0; from < days.size(); from += people_in_one_drawing) {
        const auto part =
            std::span(days).subspan(from, std::min(people_in_one_drawing, days.size() - from));
        drawings.push_back(
            staff_drawing(fmt::format("staff-{}", from), report.title, part, limits));
    }
    return drawings;
}

std::vector<report::Drawing> left_figure(const RegisterReport& report) {
    if (report.left.empty()) return {};
    double most = 5.0;
    for (const LeftDays& bin : report.left)
        most = std::max(most, static_cast<double>(bin.days));
    const std::string words =
        "How much was left to the tightest limit of each day; left of the line a limit is "
        "exceeded.";
    Plot plot("left", "Distribution of what was left", words, {},
              {.from = std::min(-5.0, report.left.front().from_dB),
               .to = std::max(5.0, report.left.back().to_dB),
               .title = "over  ←  dB  →  left"},
              {.from = 0.0, .to = most, .title = "days"});
    plot.number_x();
    plot.number_y();
    report::Table table{"Days by what was left",
                        {{.key = "from_dB", .title = "left", .number = false},
                         {.key = "days", .title = "days", .decimals = 0}}};
    for (const LeftDays& bin : report.left) {
        const auto days = static_cast<double>(bin.days);
        plot.bar(plot.px(bin.from_dB + 0.15), plot.px(bin.to_dB - 0.15), plot.py(days),
                 plot.py(0.0), "share",
                 data("low", bin.from_dB) + data("high", bin.to_dB) + data("value", days));
        table.rows.push_back(
            {{fmt::format("{:g} to below {:g} dB", bin.from_dB, bin.to_dB), days}});
    }
    plot.stroke(plot.px(0.0), plot.py(0.0), plot.px(0.0), plot.py(most), "limit");
    return {{words, plot.markup(), {std::move(table)}}};
}

}  // namespace earbudget::records
