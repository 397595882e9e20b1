#include <algorithm>

#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/drawings/plot.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

// A day that uses far more would press every other line onto the axis: such lines leave the frame.
constexpr double highest_drawn = 250.0;
constexpr std::size_t most_rows = 100;

/// Minutes for a session, hours for a long day.
struct TimeUnit {
    double seconds;
    std::string name;
};

TimeUnit unit_for(Seconds day) {
    return day > Hours(3) ? TimeUnit{3600.0, "h"} : TimeUnit{60.0, "min"};
}

std::string row_name(const Plan& plan, const PersonResult& person, std::size_t row) {
    return segment_name(plan, *person.person, person.segments[row].row);
}

std::string reached_words(const Plan& plan, const PersonResult& person, const DayCourse& course) {
    std::string words;
    for (const AllowanceCourse& allowance : course.allowances) {
        if (!allowance.reached) continue;
        const auto end = std::ranges::upper_bound(course.ends, *allowance.reached);
        const auto n = std::min<std::size_t>(static_cast<std::size_t>(end - course.ends.begin()),
                                             course.rows.size() - 1);
        words +=
            fmt::format("{} is reached after {}, during {}. ", allowance.criterion->id,
                        table_time(*allowance.reached), row_name(plan, person, course.rows[n]));
    }
    return words.empty() ? "No limit is reached. " : words;
}

double top_of(const DayCourse& course) {
    double highest = 100.0;
    for (const AllowanceCourse& allowance : course.allowances) {
        if (!allowance.points.empty()) highest = std::max(highest, allowance.points.back().percent);
    }
    return std::min(1.08 * highest, highest_drawn);
}

// A band above the drawing: dark where a sequence runs.
void draw_rows(const PersonResult& person, const DayCourse& course, double unit, double top,
               Plot& plot) {
    double begin = 0.0;
    for (std::size_t n = 0; n < course.rows.size(); ++n) {
        const double end = course.ends[n].count() / unit;
        const bool runs = person.segments[course.rows[n]].row.sequence.has_value();
        plot.bar(plot.px(begin), plot.px(end), plot.py(top) - 8.0, plot.py(top) - 3.0,
                 runs ? "runs" : "rests");
        begin = end;
    }
    plot.words(plot.px(begin) + 4.0, plot.py(top) - 2.0, "start", "a sequence runs", "s");
}

void draw_lines(const DayCourse& course, double unit, double top, Plot& plot) {
    std::vector<double> heights;
    const double end = course.ends.back().count() / unit;
    for (const AllowanceCourse& allowance : course.allowances)
        heights.push_back(plot.py(std::min(allowance.points.back().percent, top)) + 4.0);
    heights = spread_apart(std::move(heights), 15.0, plot.py(top) + 12.0, plot.py(0.0) + 2.0);
    for (std::size_t n = 0; n < course.allowances.size(); ++n) {
        const AllowanceCourse& allowance = course.allowances[n];
        std::vector<double> seconds, drawn, percent;
        for (const AllowancePoint& point : allowance.points) {
            seconds.push_back(point.at.count());
            drawn.push_back(point.at.count() / unit);
            percent.push_back(point.percent);
        }
        plot.line(
            drawn, percent, n,
            data("series", allowance.criterion->id) + data("x", seconds) + data("y", percent));
        plot.words(plot.px(end) + 4.0, heights[n], "start",
                   fitting(allowance.criterion->id, plot.frame().right - 5.0), "s");
    }
}

void draw_reached(const DayCourse& course, double unit, Plot& plot) {
    for (const AllowanceCourse& allowance : course.allowances) {
        if (!allowance.reached) continue;
        const double at = allowance.reached->count() / unit;
        plot.stroke(plot.px(at), plot.py(100.0), plot.px(at), plot.py(0.0), "reached");
        plot.mark(
            plot.px(at), plot.py(100.0), Plot::Mark::Diamond,
            data("reached", allowance.reached->count()) + data("series", allowance.criterion->id));
    }
}

Table numbers_of(const Plan& plan, const PersonResult& person, const DayCourse& course) {
    Table table{person.person->id + ": part of each limit's allowance used after each row",
                {{.key = "row", .title = "after"}, {"end_seconds", "time"}}};
    for (const AllowanceCourse& allowance : course.allowances)
        table.columns.push_back({"after_segment_percent", allowance.criterion->id});
    for (std::size_t n = 0; n < std::min(course.rows.size(), most_rows); ++n) {
        Row row{{row_name(plan, person, course.rows[n]), table_time(course.ends[n])}};
        for (const AllowanceCourse& allowance : course.allowances)
            row.cells.emplace_back(percent_text(allowance.after_row[n]));
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace

std::vector<Drawing> allowance_figure(const std::string& id, const Plan& plan,
                                      const PersonResult& person) {
    const DayCourse& course = person.course;
    const bool decides_nothing = is_by_limits_of_others(person);
    if (course.rows.empty() || course.allowances.empty() || decides_nothing) return {};
    const TimeUnit unit = unit_for(course.ends.back());
    const double top = top_of(course);
    const std::string words = reached_words(plan, person, course);
    const double room = 16.0 * static_cast<double>(course.allowances.size());
    Plot plot(id, person.person->id + ": allowance used as the day goes on",
              words + "The table below the drawing has the values after each row.",
              {.height = std::max(170.0, 80.0 + room), .right = 110.0, .top = 20.0},
              {.from = 0.0,
               .to = course.ends.back().count() / unit.seconds,
               .title = fmt::format("time into the day, {}", unit.name)},
              {.from = 0.0, .to = top, .title = "used, %"});
    plot.number_x();
    plot.number_y();
    plot.stroke(plot.frame().left, plot.py(100.0), plot.frame().width - plot.frame().right,
                plot.py(100.0), "limit", data("limit", 100.0));
    plot.words(plot.frame().left + 3.0, plot.py(100.0) + 12.5, "start", "all that is permitted",
               "h");
    draw_rows(person, course, unit.seconds, top, plot);
    draw_lines(course, unit.seconds, top, plot);
    draw_reached(course, unit.seconds, plot);
    const std::size_t left_out = course.rows.size() - std::min(course.rows.size(), most_rows);
    return {
        {"What each limit permits, used as the day goes on. " + words,
         plot.markup(),
         {numbers_of(plan, person, course)},
         left_out == 0 ? "" : fmt::format("{} more rows of the day are in the JSON.", left_out)}};
}

}  // namespace earbudget::report
