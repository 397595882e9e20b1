#include <algorithm>

#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

constexpr std::size_t most_beside_the_runs = 3;

/// Someone who hears the runs, with the course of the day.
struct Listener {
    const PersonResult* person;
    const DayCourse& course;
};

std::string limit_after(const DayCourse& course, std::size_t row) {
    const AllowanceCourse* tightest = course.rows.empty() ? nullptr : course.tightest_after(row);
    return tightest ? on_sheet(tightest->criterion->id) : "";
}

std::string cell_of(const Listener& listener, std::size_t timeline_row, bool name_limits) {
    const auto& segments = listener.person->segments;
    const auto& rows = listener.course.rows;
    for (std::size_t n = 0; n < rows.size(); ++n) {
        if (segments[rows[n]].row.timeline_row != timeline_row) continue;
        const auto used = listener.course.highest_after(n);
        const auto& left = segments[rows[n]].repeats_left;
        std::string more = !left        ? ""
                           : *left == 0 ? " · no more"
                                        : fmt::format(" · {} more", runs_text(left));
        const auto before = n == 0 ? std::nullopt : listener.course.highest_after(n - 1);
        if (used && *used > 100.0 && before.value_or(0.0) <= 100.0) more = " · over in this run";
        // The head of the column names the limit that is the tightest at the end of the day.
        const std::string last =
            !used ? std::string() : limit_after(listener.course, rows.size() - 1);
        const std::string own = used ? limit_after(listener.course, n) : last;
        const std::string of = name_limits && own != last ? " of " + own : "";
        return (used ? percent_text(*used) + of : "no limit") + more;
    }
    return "not there";
}

/// The limits that are the tightest after a run for somebody in the room, each once.
std::vector<const Criterion*> limits_of(const std::vector<SheetPerson>& people) {
    std::vector<const Criterion*> limits;
    for (const SheetPerson& one : people) {
        if (!is_exposed_to_timeline(*one.planned)) continue;
        const DayCourse& course = one.day().course;
        for (std::size_t n = 0; n < course.rows.size(); ++n) {
            if (!one.day().segments[course.rows[n]].row.timeline_row) continue;
            const AllowanceCourse* tightest = course.tightest_after(n);
            const auto same = [&](const Criterion* other) {
                return other->id == tightest->criterion->id;
            };
            if (tightest && std::ranges::none_of(limits, same))
                limits.push_back(tightest->criterion);
        }
    }
    return limits;
}

std::vector<std::size_t> runs_of(const Plan& plan) {
    std::vector<std::size_t> rows;
    for (std::size_t row = 0; row < plan.timeline.size(); ++row)
        if (plan.timeline[row].sequence) rows.push_back(row);
    return rows;
}

std::string run_words(const Plan& plan, std::size_t row) {
    const TimelineRow& run = plan.timeline[row];
    const std::string name = sequence_title(plan, *run.sequence);
    return run.repeat == 1 ? fmt::format("{}; {}", name, table_time(run.duration))
                           : fmt::format("{}; {} × {}", name, run.repeat, table_time(run.duration));
}

/// Rests that follow a run are said with it.
std::string rest_after(const Plan& plan, std::size_t row) {
    Seconds rest(0.0);
    for (std::size_t n = row + 1; n < plan.timeline.size() && !plan.timeline[n].sequence; ++n)
        rest += plan.timeline[n].time();
    return rest > Seconds(0.0) ? fmt::format("; then rest {}", table_time(rest)) : std::string();
}

/// Those in the room, with what stands beside each run; people alike in one.
std::vector<AlikeOnSheet> listeners_of(const Plan& plan, const std::vector<SheetPerson>& people,
                                       bool name_limits) {
    std::vector<AlikeOnSheet> listeners;
    for (const SheetPerson& one : people) {
        if (!is_exposed_to_timeline(*one.planned)) continue;
        const PersonResult& day = one.day();
        // A day of another plan's person, whose timeline is the same.
        const Listener listener{&day, day.course};
        std::string head = one.out->day && !one.out->wears.empty()
                               ? ", wearing " + worn_title(plan, one.out->wears)
                               : std::string();
        const auto& course_rows = listener.course.rows;
        const std::string limit =
            course_rows.empty() ? "" : limit_after(listener.course, course_rows.size() - 1);
        if (name_limits && !limit.empty()) head += ", of " + limit;
        std::vector<std::string> cells{std::move(head)};
        for (const std::size_t row : runs_of(plan))
            cells.push_back(cell_of(listener, row, name_limits));
        add_alike(one.person().id, std::move(cells), day.verdict, listeners);
    }
    return listeners;
}

Table runs_table(const Plan& plan, const std::vector<SheetPerson>& people,
                 std::span<const AlikeOnSheet> listeners, std::size_t part,
                 const std::string& limit) {
    Table table{.name = fmt::format("Used of {} after each run; how many more of that run alone "
                                    "fit, confidently{}",
                                    limit, part == 0 ? "" : fmt::format("; part {}", part + 1)),
                .columns = {{.key = "run", .title = "run"}},
                .rows = {},
                .look = "runs"};
    const auto add = [&table](std::string_view key, std::string title) {
        table.columns.push_back({.key = key, .title = std::move(title), .number = false});
    };
    for (const AlikeOnSheet& one : listeners)
        add("used", short_names(one.ids, people) + one.cells.front());
    if (part == 0) add("really_run", "really run");
    const auto rows = runs_of(plan);
    for (std::size_t n = 0; n < rows.size(); ++n) {
        Row row{
            {fmt::format("{}. {}{}", n + 1, run_words(plan, rows[n]), rest_after(plan, rows[n]))}};
        for (const AlikeOnSheet& one : listeners)
            row.cells.emplace_back(one.cells[n + 1]);
        if (part == 0) row.cells.emplace_back("");
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace

Section runs_part(const Plan& plan, const std::vector<SheetPerson>& people) {
    // One limit is named above the table, several beside each percentage.
    const auto limits = limits_of(people);
    const bool beside_each = limits.size() > 1;
    const std::string limit = limits.empty() || beside_each ? "the limit named above or beside"
                                                            : limit_title(*limits.front());
    const auto listeners = listeners_of(plan, people, beside_each);
    const std::span<const AlikeOnSheet> all(listeners);
    Section section{"runs", "The runs in order", {}};
    std::size_t part = 0;
    do {
        const std::size_t first = part * most_beside_the_runs;
        section.blocks.push_back({runs_table(
            plan, people, all.subspan(first, std::min(most_beside_the_runs, all.size() - first)),
            part, limit)});
        ++part;
    } while (part * most_beside_the_runs < all.size());
    return section;
}

}  // namespace earbudget::report
