#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "records/register_totals.hpp"
#include "report/assess_words.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

using report::Block;
using report::Cell;
using report::Column;
using report::Medium;
using report::Row;
using report::Table;

std::vector<Column> columns_of_limits(std::vector<Column> before) {
    for (Column column : {Column{.key = "id", .title = "limit", .number = false},
                          Column{"value", "value"}, Column{"limit", "permitted"},
                          Column{"margin_dB", "margin"}, Column{"probability_over", "P(over)"},
                          Column{.key = "verdict", .title = "verdict", .number = false}})
        before.push_back(std::move(column));
    return before;
}

void add_limit_cells(const CriterionResult& result, std::vector<Cell>& cells) {
    const auto or_dash = [](std::string words) { return words.empty() ? "–" : words; };
    const bool tells = !result.made_for_others;
    cells.emplace_back(fmt::format("{}, {}{}", result.criterion->id, report::quantity_text(result),
                                   result.at_ear ? " at the ear" : " outside"));
    cells.emplace_back(report::value_text(result));
    cells.emplace_back(report::limit_text(result));
    cells.emplace_back(or_dash(tells ? report::margin_text(result) : ""));
    cells.emplace_back(or_dash(tells ? report::probability_text(result) : ""));
    cells.emplace_back(report::verdict_word(result));
}

void add_limits(const std::string& heading, const std::vector<CriterionResult>& results,
                Table& table) {
    table.rows.push_back({{Cell(heading)}});
    for (const CriterionResult& result : results) {
        Row row{{}};
        add_limit_cells(result, row.cells);
        if (result.decides && result.verdict == Verdict::Over) row.verdict = Verdict::Over;
        table.rows.push_back(std::move(row));
    }
}

std::string level_at(const std::optional<LevelA>& level) {
    return level ? decimal_text(level->dB(), 1) : std::string("–");
}

Table days_table(const PersonAnswer& person, const std::string& name) {
    Table table{name + ": days",
                {{.key = "date", .title = "day", .number = false},
                 {.key = "seconds", .title = "in noise"},
                 {"LEX_8h_dB", "LEX,8h outside, dB(A)"},
                 {"at_ear_LEX_8h_dB", "at the ear, dB(A)"},
                 {.key = "verdict", .title = "verdict", .number = false},
                 {.key = "entries", .title = "from", .number = false}}};
    for (const DayAnswer& day : person.days) {
        const DayExposure& exposure = day.total.judged->exposure;
        const Verdict verdict = day.total.judged->verdict;
        Row row{{sessions::iso_date(day.total.day), report::table_time(exposure.time),
                 level_at(exposure.LEX_8h), level_at(exposure.at_ear_LEX_8h),
                 std::string(name_of(verdict)), entries_words(day.entries)}};
        if (day.lower_bound) row.notes.emplace_back("a lower bound");
        for (std::string& one : missing_sentences(day.total.missing))
            row.notes.push_back(std::move(one));
        if (verdict == Verdict::Over) row.verdict = verdict;
        table.rows.push_back(std::move(row));
    }
    return table;
}

Table limits_of_days(const PersonAnswer& person, const std::string& name) {
    Table table{name + ": limits on a day", columns_of_limits({})};
    for (const DayAnswer& day : person.days)
        add_limits(sessions::iso_date(day.total.day), day.total.judged->criteria, table);
    return table;
}

Table limits_of_weeks(const PersonAnswer& person, const std::string& name) {
    Table table{name + ": limits on a week", columns_of_limits({})};
    for (const WeekAnswer& week : person.weeks) {
        if (week.total.calendar_week) {
            add_limits(fmt::format("{} to {}", sessions::iso_date(week.total.first),
                                   sessions::iso_date(week.total.last)),
                       week.total.calendar_week->criteria, table);
        }
        if (week.total.seven_days) {
            add_limits(
                fmt::format("seven days to {}", sessions::iso_date(week.total.seven_days_end)),
                week.total.seven_days->criteria, table);
        }
    }
    return table;
}

Table months_table(const std::vector<sessions::MonthTotal>& months, const std::string& name) {
    Table table{name + ": months",
                {{.key = "from", .title = "month", .number = false},
                 {.key = "days", .title = "days", .decimals = 0},
                 {.key = "sessions", .title = "sessions", .decimals = 0},
                 {.key = "runs", .title = "runs", .decimals = 0},
                 {.key = "seconds", .title = "in noise"},
                 {"at_ear_Pa2h", "at the ear", "Pa²h", 3}}};
    for (const sessions::MonthTotal& month : months) {
        Row row{{sessions::iso_date(month.first).substr(0, 7), static_cast<double>(month.days),
                 static_cast<double>(month.sessions), static_cast<double>(month.runs),
                 report::table_time(month.time), month.at_ear_Pa2h}};
        row.notes = action_sentences(month.by);
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::string period_words(const TotalsWanted& wanted) {
    if (!wanted.from && !wanted.to) return "all that is recorded";
    if (!wanted.to) return "from " + sessions::iso_date(*wanted.from);
    if (!wanted.from) return "until " + sessions::iso_date(*wanted.to);
    return fmt::format("from {} to {}", sessions::iso_date(*wanted.from),
                       sessions::iso_date(*wanted.to));
}

report::Section roles_section(const TotalsReport& report, bool detail) {
    report::Section section{.id = "roles",
                            .heading = "By role",
                            .blocks = {},
                            .medium = detail ? Medium::Every : Medium::Page};
    for (const sessions::RoleTotals& role : report.roles) {
        section.blocks.push_back({report::Paragraph{
            fmt::format("{}: {} in it; days are those of all of them together.",
                        report::first_letter_large(std::string(name_of(role.role))),
                        role.people == 1 ? "1 person" : fmt::format("{} people", role.people))}});
        section.blocks.push_back({months_table(role.months, std::string(name_of(role.role)))});
    }
    return section;
}

}  // namespace

std::vector<Block> person_blocks(const PersonAnswer& person, const std::string& id) {
    const std::string name = fmt::format("{}, {}", person.as, name_of(person.role));
    if (person.days.empty())
        return {{report::Paragraph{"No run is recorded, so that there is nothing to be judged."}}};
    std::vector<Block> blocks;
    blocks.push_back({report::Figure{[id, person] { return days_figure(id, person); }}});
    blocks.push_back({days_table(person, name)});
    blocks.push_back({months_table(person.months, name)});
    blocks.push_back({report::Folded{
        .summary = "Each limit on each day and week",
        .blocks = {{limits_of_days(person, name)}, {limits_of_weeks(person, name)}}}});
    if (person.files.empty()) return blocks;
    report::Definitions files{.entries = {}, .look = "record"};
    for (const FileUsed& used : person.files) {
        files.entries.emplace_back(
            fmt::format("{} ({})", used.file.file, entries_words(used.entries)),
            report::hash_digits(used.file.sha256));
    }
    blocks.push_back({report::Folded{.summary = "Cards and files behind the figures",
                                     .blocks = {{std::move(files)}}}});
    return blocks;
}

report::Document totals_document(const TotalsReport& report, bool detail) {
    const std::string& title = report.file.settings.title;
    report::Document document{.head = {"register totals", "What people have heard, against limits",
                                       title.empty() ? report.file.file : title, report.file.file,
                                       report.record.date}};
    std::vector<Block> blocks;
    if (report.people.empty()) {
        blocks.push_back({report::Paragraph{report::strong(
            fmt::format("Nothing is recorded of that: {}.", period_words(report.wanted)))}});
    } else {
        blocks.push_back({answers_of(report.people)});
        blocks.push_back(
            {report::Paragraph{fmt::format("Counted: {}.", period_words(report.wanted))},
             Medium::Page});
        if (!detail) {
            blocks.push_back(
                {report::Paragraph{fmt::format("Counted: {}. --detail tells every day, limit, "
                                               "entry and file; so do a page, CSV and JSON.",
                                               period_words(report.wanted))},
                 Medium::Text});
        }
    }
    document.sections.push_back({"verdict", "Verdict", std::move(blocks)});
    for (std::size_t n = 0; n < report.people.size(); ++n) {
        const PersonAnswer& person = report.people[n];
        const Verdict verdict = person.verdict();
        document.sections.push_back(
            {.id = fmt::format("person-{}", n + 1),
             .heading = fmt::format("{}, {}", person.as, name_of(person.role)),
             .blocks = person_blocks(person, fmt::format("days-{}", n + 1)),
             .in_contents = person.as,
             .answer = report::Answer{verdict, report::words_of(verdict)},
             .look = "part",
             .of_one = true,
             .medium = detail ? Medium::Every : Medium::Page});
    }
    if (!report.roles.empty()) document.sections.push_back(roles_section(report, detail));
    add_record_of_register(report.file, report.record, report.sources(), report.files(), detail,
                           document);
    return document;
}

}  // namespace earbudget::records
