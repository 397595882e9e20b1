#include "report/html/sheet_runs.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/decision/allowance_course.hpp"
#include "report/assess_words.hpp"
#include "report/html/markup.hpp"
#include "report/html/table.hpp"
#include "report/text_style.hpp"

namespace earbudget::report::html {

namespace {

constexpr std::size_t most_people = 3;
constexpr std::size_t most_runs = 10;
constexpr std::size_t most_in_name = 24;

/// Someone who hears the runs, with the course of the day.
struct Listener {
    const PersonResult* person;
    DayCourse course;
};

bool hears_timeline(const PersonResult& person) {
    return person.person->role != Role::Staff &&
           std::ranges::any_of(person.segments, [](const SegmentResult& segment) {
               return segment.row.timeline_row.has_value();
           });
}

std::string cell_of(const Listener& listener, std::size_t timeline_row) {
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
        return escaped((used ? percent_text(*used) : "no limit") + more);
    }
    return "not there";
}

std::string run_words(const Plan& plan, std::size_t row) {
    const TimelineRow& run = plan.timeline[row];
    const std::string name = shortened(plan.sequences[*run.sequence].id, most_in_name);
    return run.repeat == 1 ? fmt::format("{}, {}", name, table_time(run.duration))
                           : fmt::format("{}, {} × {}", name, run.repeat, table_time(run.duration));
}

/// Rests that follow a run are said with it.
std::string rest_after(const Plan& plan, std::size_t row) {
    Seconds rest(0.0);
    for (std::size_t n = row + 1; n < plan.timeline.size() && !plan.timeline[n].sequence; ++n)
        rest += plan.timeline[n].time();
    return rest > Seconds(0.0) ? fmt::format("; then rest {}", table_time(rest)) : std::string();
}

}  // namespace

std::vector<const PersonResult*> worst_first(const Assessment& assessment) {
    std::vector<const PersonResult*> people;
    for (const PersonResult& person : assessment.people)
        people.push_back(&person);
    std::ranges::stable_sort(people, std::ranges::greater(), &PersonResult::verdict);
    return people;
}

SheetPart runs_part(const Assessment& assessment) {
    const Plan& plan = *assessment.plan;
    SheetPart part;
    std::vector<Listener> listeners;
    std::vector<Column> columns = {{"run"}};
    std::size_t others = 0;
    for (const PersonResult* person : worst_first(assessment)) {
        if (!hears_timeline(*person)) continue;
        if (listeners.size() == most_people) {
            ++others;
            continue;
        }
        DayCourse course = allowance_course(*person);
        listeners.push_back({person, std::move(course)});
        columns.push_back({shortened(person->person->id, most_in_name)});
    }
    if (others > 0) part.left_out.push_back(fmt::format("{} more people beside the runs", others));
    Table table(
        "Used after each run of what the tightest limit allows; how many more of that run alone "
        "fit with no more than the accepted probability of being over",
        std::move(columns));
    std::size_t runs = 0;
    for (std::size_t row = 0; row < plan.timeline.size(); ++row) {
        if (!plan.timeline[row].sequence || ++runs > most_runs) continue;
        std::vector<std::string> cells = {fmt::format("{}. ", runs) + text(run_words(plan, row)) +
                                          escaped(rest_after(plan, row))};
        for (const Listener& listener : listeners)
            cells.push_back(cell_of(listener, row));
        table.row(cells);
    }
    if (runs > most_runs) part.left_out.push_back(fmt::format("{} more runs", runs - most_runs));
    part.markup = table.markup();
    part.lines = 4 + std::min(runs, most_runs);
    return part;
}

}  // namespace earbudget::report::html
