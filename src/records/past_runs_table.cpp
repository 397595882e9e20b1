#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "files/ids.hpp"
#include "records/past_runs.hpp"
#include "tables/cell_values.hpp"
#include "tables/decoded_text.hpp"

namespace earbudget::records {

namespace {

using tables::TableColumn;

enum class PastColumn { As, When, Date, Time, Sequence, Duration, Wears, Person };

struct HeadingOfPast {
    PastColumn key;
    std::string_view name;
};
constexpr std::array<HeadingOfPast, 14> headings_of_past = {{{PastColumn::As, "as"},
                                                             {PastColumn::As, "code"},
                                                             {PastColumn::When, "when"},
                                                             {PastColumn::When, "start"},
                                                             {PastColumn::When, "begin"},
                                                             {PastColumn::When, "datetime"},
                                                             {PastColumn::Date, "date"},
                                                             {PastColumn::Time, "time"},
                                                             {PastColumn::Sequence, "sequence"},
                                                             {PastColumn::Duration, "duration"},
                                                             {PastColumn::Wears, "wears"},
                                                             {PastColumn::Wears, "worn"},
                                                             {PastColumn::Person, "person"},
                                                             {PastColumn::Person, "participant"}}};
constexpr std::string_view accepted_headings =
    "as, when (or date and time), sequence, duration, wears, person";

/// Seconds since midnight of "14:30" or "14:30:15".
std::optional<int> time_of_day(std::string_view text) {
    const auto two = [&](std::size_t at) -> int {
        if (at + 2 > text.size()) return -1;
        const char a = text[at], b = text[at + 1];
        return a < '0' || a > '9' || b < '0' || b > '9' ? -1 : 10 * (a - '0') + (b - '0');
    };
    if (text.size() != 5 && text.size() != 8) return std::nullopt;
    if (text[2] != ':' || (text.size() == 8 && text[5] != ':')) return std::nullopt;
    const int hours = two(0), minutes = two(3), seconds = text.size() == 8 ? two(6) : 0;
    if (hours < 0 || hours > 23 || minutes < 0 || minutes > 59 || seconds < 0 || seconds > 59)
        return std::nullopt;
    return (hours * 60 + minutes) * 60 + seconds;
}

/// The moment of a site's clock; none, and why, where a change of summer time leaves it out or
/// brings it twice.
std::optional<StatedInstant> moment_of(const sessions::Calendar& calendar, sessions::LocalDay day,
                                       int second, std::string& why) {
    constexpr std::int64_t ms_a_day = 86'400'000, ms_a_minute = 60'000;
    const std::int64_t local = day.number * ms_a_day + second * 1000LL;
    const sessions::Span span = calendar.span_of(day);
    std::vector<StatedInstant> found;
    for (const Instant near : {span.from, Instant{span.to.ms - 1}}) {
        const int offset = calendar.offset_minutes(near);
        const StatedInstant at{{local - offset * ms_a_minute}, offset};
        const bool is_known = std::ranges::find(found, at) != found.end();
        if (calendar.offset_minutes(at.at) == offset && !is_known) found.push_back(at);
    }
    if (found.size() == 1) return found.front();
    why = found.empty() ? " that summer time leaves out" : " that comes twice that day";
    return std::nullopt;
}

/// Reads a table row by row.
class PastTable {
  public:
    PastTable(const std::string& path, const tables::Cells& cells, const SessionPlan& plan,
              const sessions::Calendar& calendar, const PastDefaults& defaults,
              files::ErrorList& errors)
        : path_(path),
          cells_(cells),
          plan_(plan),
          calendar_(calendar),
          defaults_(defaults),
          errors_(errors) {
        while (head_.row < cells.rows.size() && tables::is_empty_row(cells, head_.row))
            ++head_.row;
        read_headings();
    }

    PastRuns read() {
        PastRuns all{.from = path_};
        if (!errors_.empty()) return all;
        const tables::TableReading table(path_, cells_, head_, errors_);
        for (std::size_t row = head_.row + 1; row < cells_.rows.size(); ++row)
            if (!tables::is_empty_row(cells_, row)) read_row(table, row, all.runs);
        if (all.runs.empty() && errors_.empty())
            errors_.add({{path_}, "the table has no row; accepted: rows below the headings"});
        return all;
    }

  private:
    [[nodiscard]] const TableColumn* find(PastColumn key) const {
        for (const auto& [its, column] : columns_)
            if (its == key) return &column;
        return nullptr;
    }

    void read_headings() {
        if (head_.row >= cells_.rows.size())
            throw InputError({path_}, fmt::format("the table is empty; accepted: a row of headings "
                                                  "({}) and rows below it",
                                                  accepted_headings));
        const auto& row = cells_.rows[head_.row];
        for (std::size_t n = 0; n < row.size(); ++n) {
            if (row[n].empty() || row[n].starts_with('#')) continue;
            add_heading(row[n], n);
        }
        check_there(PastColumn::Sequence, "sequence");
        check_there(PastColumn::Duration, "duration");
        if (!defaults_.as) check_there(PastColumn::As, "as");
        const bool in_two = find(PastColumn::Date) && find(PastColumn::Time);
        if (!in_two) check_there(PastColumn::When, "when");
    }

    void add_heading(const std::string& heading, std::size_t index) {
        const auto [name, unit] = tables::name_and_unit(heading);
        const auto* known = std::ranges::find(headings_of_past, name, &HeadingOfPast::name);
        // "Time (min)" is how long it lasted.
        const bool lasts = name == "time" && !unit.empty();
        const SourcePosition at{path_, static_cast<unsigned>(head_.row + 1),
                                static_cast<unsigned>(index + 1)};
        if (known == headings_of_past.end()) {
            errors_.add({at, fmt::format("the heading \"{}\" is unknown; accepted: {}", heading,
                                         accepted_headings)});
            return;
        }
        const PastColumn key = lasts ? PastColumn::Duration : known->key;
        if (find(key)) {
            errors_.add(
                {at, fmt::format("the heading \"{}\" stands twice; accepted: once", heading)});
            return;
        }
        columns_.emplace_back(key, TableColumn{tables::ColumnKey::Id, heading, unit, index});
    }

    void check_there(PastColumn key, std::string_view name) {
        if (find(key)) return;
        errors_.add(
            {{path_, static_cast<unsigned>(head_.row + 1), 1},
             fmt::format("the table has no column \"{}\"; accepted: {}", name, accepted_headings)});
    }

    [[nodiscard]] std::string text(std::size_t row, PastColumn key) const {
        const TableColumn* column = find(key);
        if (!column || tables::is_blank_cell(cells_.at(row, column->index))) return "";
        return std::string(cells_.at(row, column->index));
    }

    void read_row(const tables::TableReading& table, std::size_t row, std::vector<PastRun>& runs) {
        const std::size_t before = errors_.size();
        PastRun run{.as = text(row, PastColumn::As), .at = table.at(row)};
        if (run.as.empty()) run.as = defaults_.as.value_or("");
        if (run.as.empty())
            errors_.add({table.at(row), "no code is stated; accepted: one under as, or --as CODE"});
        const std::string person = text(row, PastColumn::Person);
        read_person(table, row, person, run);
        read_sequence(table, row, run);
        read_when(table, row, run);
        read_wears(table, row, run);
        const auto time = table.duration(row, *find(PastColumn::Duration));
        if (time && *time > Seconds(0.0)) run.time = *time;
        if (errors_.size() == before && !(run.time > Seconds(0.0))) {
            table.report(row, *find(PastColumn::Duration),
                         "is no duration of a run; accepted: above 0 s, such as 6 min");
        }
        if (errors_.size() == before) runs.push_back(std::move(run));
    }

    void read_person(const tables::TableReading& table, std::size_t row, const std::string& stated,
                     PastRun& run) {
        if (stated.empty()) {
            run.person = person_meant(defaults_.person, plan_, errors_);
            return;
        }
        const auto ids = files::ids_of(plan_.plan().people);
        run.person = stated;
        if (std::ranges::find(ids, stated) == ids.end()) {
            table.report(
                row, *find(PastColumn::Person),
                fmt::format("is no person of the plan; accepted: {}", fmt::join(ids, ", ")));
        }
    }

    void read_sequence(const tables::TableReading& table, std::size_t row, PastRun& run) {
        const std::string id = text(row, PastColumn::Sequence);
        const auto found = sessions::sequence_named(plan_.plan(), id);
        if (found) {
            run.sequence = *found;
            return;
        }
        const auto ids = files::ids_of(plan_.plan().sequences);
        table.report(row, *find(PastColumn::Sequence),
                     fmt::format("is no sequence of the plan{}; accepted: {}",
                                 files::nearest_words(id, ids), fmt::join(ids, ", ")));
    }

    void read_when(const tables::TableReading& table, std::size_t row, PastRun& run) {
        constexpr std::string_view accepted =
            "2026-11-29 14:30 by the site's clock, or with an offset from UTC, "
            "2026-11-29T14:30:00+01:00";
        const bool in_two = !find(PastColumn::When);
        const TableColumn& column = *find(in_two ? PastColumn::Time : PastColumn::When);
        const std::string stated =
            in_two ? text(row, PastColumn::Date) + " " + text(row, PastColumn::Time)
                   : text(row, PastColumn::When);
        std::string why;
        if (const auto at = parse_rfc3339(stated)) {
            run.from = *at;
            return;
        }
        const auto day = sessions::day_named(std::string_view(stated).substr(0, 10));
        const auto second = stated.size() > 11 && (stated[10] == ' ' || stated[10] == 'T')
                                ? time_of_day(std::string_view(stated).substr(11))
                                : std::nullopt;
        if (day && second) {
            const auto at = moment_of(calendar_, *day, *second, why);
            if (at && at->at > now()) {
                table.report(row, column,
                             "is in the future; accepted: what has run, until now");
                return;
            }
            if (at) {
                run.from = *at;
                return;
            }
        }
        table.report(row, column,
                     fmt::format("is no date with a time{}; accepted: {}", why, accepted));
    }

    /// "foam + muff"; "nothing".
    void read_wears(const tables::TableReading& table, std::size_t row, PastRun& run) {
        const std::string stated = text(row, PastColumn::Wears);
        if (stated.empty()) return;
        run.wears.emplace();
        if (stated == "nothing" || stated == "none") return;
        const auto ids = plan_.plan().catalogue.ids();
        std::size_t from = 0;
        while (from <= stated.size()) {
            const std::size_t to = std::min(stated.find('+', from), stated.size());
            std::string id = stated.substr(from, to - from);
            id.erase(0, std::min(id.find_first_not_of(' '), id.size()));
            id.erase(id.find_last_not_of(' ') + 1);
            if (std::ranges::find(ids, id) == ids.end()) {
                table.report(row, *find(PastColumn::Wears),
                             fmt::format("names \"{}\", which the catalogue does not have{}; "
                                         "accepted: {}, two of them with a +, or nothing",
                                         id, files::nearest_words(id, ids), fmt::join(ids, ", ")));
                return;
            }
            run.wears->push_back(std::move(id));
            from = to + 1;
        }
    }

    const std::string& path_;
    const tables::Cells& cells_;
    const SessionPlan& plan_;
    const sessions::Calendar& calendar_;
    const PastDefaults& defaults_;
    files::ErrorList& errors_;
    tables::TableHead head_ = {};
    std::vector<std::pair<PastColumn, TableColumn>> columns_ = {};
};

}  // namespace

std::string person_meant(const std::optional<std::string>& stated, const SessionPlan& plan,
                         files::ErrorList& errors) {
    std::vector<std::string> participants;
    for (const Person& person : plan.plan().people)
        if (person.role == Role::Participant) participants.push_back(person.id);
    const auto ids = files::ids_of(plan.plan().people);
    if (stated && std::ranges::find(ids, *stated) != ids.end()) return *stated;
    if (!stated && participants.size() == 1) return participants.front();
    errors.add(
        {{plan.path},
         stated ? fmt::format("has no person \"{}\"; accepted: {}", *stated, fmt::join(ids, ", "))
                : fmt::format("has {} participants, and which of them it was is not stated; "
                              "accepted: --person with one of {}",
                              participants.size(), fmt::join(ids, ", "))});
    return "";
}

PastRuns runs_of_table(const std::string& table, SessionPlan& plan,
                       const sessions::Calendar& calendar, const PastDefaults& defaults,
                       files::ErrorList& errors) {
    const tables::DecodedText decoded =
        tables::decoded_text(plan.inputs.text(table, {table}), table);
    const std::size_t before = errors.size();
    const tables::Cells cells = tables::cells_of(decoded.text, table, errors);
    if (errors.size() > before) return {.from = table};
    PastRuns runs = PastTable(table, cells, plan, calendar, defaults, errors).read();
    if (!decoded.note.empty()) runs.notes.push_back(decoded.note);
    return runs;
}

}  // namespace earbudget::records
