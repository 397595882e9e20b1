#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "earbudget/limits/judge.hpp"
#include "report/assess_words.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

constexpr std::size_t most_beside_the_runs = 3;

/// The exposure limit of which a person's column tells: the one that decides, peaks aside.
const AllowanceCourse* told_of(const PersonResult& person) {
    const CriterionResult* limit = tightest_limit(person, false);
    return limit ? person.course.of(*limit->criterion) : nullptr;
}

std::string cell_of(const PersonResult& person, std::size_t timeline_row) {
    if (is_by_limits_of_others(person)) return "no limit is known";
    const auto& segments = person.segments;
    const auto& rows = person.course.rows;
    for (std::size_t n = 0; n < rows.size(); ++n) {
        if (segments[rows[n]].row.timeline_row != timeline_row) continue;
        const AllowanceCourse* told = told_of(person);
        const auto& left = segments[rows[n]].repeats_left;
        std::string more = !left        ? ""
                           : *left == 0 ? " · no more"
                                        : fmt::format(" · {} more", runs_text(left));
        if (const AllowanceCourse* over = person.course.reached_in(n)) {
            more = " · over in this run";
            if (over != told) more += " by " + on_sheet(over->criterion->id);
        }
        return (told ? percent_text(told->after_row[n]) : "no limit") + more;
    }
    return "not there";
}

/// Of several sessions a day, that the column is of the first, and where a later one is first over.
std::string of_first_session(const Plan& plan, const PersonResult& person) {
    const unsigned sessions = person.person->sessions_per_day;
    if (sessions < 2) return "";
    std::string words = fmt::format(", the first of {} sessions a day", sessions);
    std::map<std::size_t, unsigned> heard;
    for (std::size_t n = 0; n < person.course.rows.size(); ++n) {
        const std::size_t row = person.course.rows[n];
        const unsigned session = ++heard[row];
        if (session < 2 || !person.course.reached_in(n)) continue;
        const auto sequence = person.segments[row].row.sequence;
        return words + fmt::format("; over in session {}{}", session,
                                   sequence ? " during " + sequence_title(plan, *sequence) : "");
    }
    return words;
}

/// The limits of which the columns tell, each once.
std::vector<const Criterion*> limits_of(const std::vector<SheetPerson>& people) {
    std::vector<const Criterion*> limits;
    for (const SheetPerson& one : people) {
        const AllowanceCourse* told =
            is_exposed_to_timeline(*one.planned) && !is_by_limits_of_others(one.day())
                ? told_of(one.day())
                : nullptr;
        const auto same = [&](const Criterion* other) { return other->id == told->criterion->id; };
        if (told && std::ranges::none_of(limits, same)) limits.push_back(told->criterion);
    }
    return limits;
}

/// What a share of an exposure limit does not tell.
std::string over_by_peak(const PersonResult& person) {
    const CriterionResult* limit = tightest_limit(person);
    const bool by_peak = limit && limit->is_peak && limit->verdict == Verdict::Over;
    return by_peak ? ", over by the peak of " + on_sheet(limit->criterion->id) : "";
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
    bool reinsert = false;
    for (std::size_t n = row + 1; n < plan.timeline.size() && !plan.timeline[n].sequence; ++n) {
        rest += plan.timeline[n].time();
        reinsert = reinsert || plan.timeline[n].reinsert;
    }
    if (!(rest > Seconds(0.0))) return "";
    return fmt::format(
        "; then rest {}{}", table_time(rest),
        reinsert ? strong(": take protectors out, put them in again, check both ears") : "");
}

/// Those in the room, with what stands beside each run; people alike in one.
std::vector<AlikeOnSheet> listeners_of(const Plan& plan, const std::vector<SheetPerson>& people,
                                       bool name_limits) {
    std::vector<AlikeOnSheet> listeners;
    for (const SheetPerson& one : people) {
        if (!is_exposed_to_timeline(*one.planned)) continue;
        const PersonResult& day = one.day();
        std::string head = one.out->day && !one.out->wears.empty()
                               ? ", wearing " + worn_title(plan, one.out->wears)
                               : std::string();
        const AllowanceCourse* told = told_of(day);
        if (name_limits && told && !is_by_limits_of_others(day)) head += ", of " + on_sheet(told->criterion->id);
        head += of_first_session(plan, day);
        std::vector<std::string> cells{head + over_by_peak(day)};
        for (const std::size_t row : runs_of(plan))
            cells.push_back(cell_of(day, row));
        add_alike(one.person().id, std::move(cells), day.verdict, listeners);
    }
    return listeners;
}

Table runs_table(const Plan& plan, const std::vector<SheetPerson>& people,
                 std::span<const AlikeOnSheet> listeners, std::size_t part,
                 const std::string& heading) {
    Table table{.name = fmt::format("{}{}", heading,
                                    part == 0 ? "" : fmt::format("; part {}", part + 1)),
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
    // One limit is named above the table, several in the heads of the columns.
    const auto limits = limits_of(people);
    const bool in_heads = limits.size() > 1;
    const std::string title =
        limits.empty()
            ? "What runs; no limit says how much of it is used"
            : fmt::format("Used of {} after each run; how many more of that run alone fit, "
                          "confidently",
                          in_heads ? "the limit in the head of the column"
                                   : limit_title(*limits.front()));
    const auto listeners = listeners_of(plan, people, in_heads);
    const std::span<const AlikeOnSheet> all(listeners);
    Section section{"runs", "The runs in order", {}};
    std::size_t part = 0;
    do {
        const std::size_t first = part * most_beside_the_runs;
        section.blocks.push_back({runs_table(
            plan, people, all.subspan(first, std::min(most_beside_the_runs, all.size() - first)),
            part, title)});
        ++part;
    } while (part * most_beside_the_runs < all.size());
    return section;
}

}  // namespace earbudget::report
