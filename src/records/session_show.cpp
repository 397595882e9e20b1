#include "records/session_show.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/limits/judge.hpp"
#include "records/entry_words.hpp"
#include "records/session_next.hpp"
#include "report/assess_fields.hpp"
#include "report/cautions.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

using registers::Entry;
using registers::EntryKind;
using report::Block;
using report::Cell;
using report::Paragraph;

EntryDone shown(const Entry& entry, sessions::RecordCache& cache) {
    EntryDone one{.n = entry.n,
                  .kind = entry.kind,
                  .as = entry.as.value_or(""),
                  .from = {entry.from, entry.offset_minutes},
                  .to = {entry.to, entry.offset_minutes},
                  .what = words_of_entry(entry, cache)};
    const bool is_heard = entry.kind == EntryKind::Run || entry.kind == EntryKind::RunStart ||
                          entry.kind == EntryKind::Task;
    if (const auto run = is_heard ? sessions::read_run(entry.body, cache) : std::nullopt)
        one.levels = levels_of(run->exposure);
    return one;
}

std::string name_of_part(const sessions::Heard& part) {
    if (part.kind == sessions::HeardKind::Rest) return "nothing running";
    return part.unconfirmed ? part.name + " (unconfirmed)" : part.name;
}

std::string local_time(const StatedInstant& at) {
    const std::string text = rfc3339(at);
    return text.substr(0, text.find('.'));
}

Cell level_cell(const std::optional<LevelA>& level) {
    return {level ? std::optional(level->dB()) : std::nullopt, "–"};
}

report::Table heard_table(const ShowReport& report) {
    report::Table table{.name = "Heard",
                        .columns = {{.key = "name", .title = "what", .number = false},
                                    {.key = "from", .title = "from", .number = false},
                                    {.key = "from_UTC", .title = "in UTC", .number = false},
                                    {.key = "seconds", .title = "for", .number = false},
                                    {"LAeq_dB", "outside", "dB(A)"},
                                    {"at_ear_LAeq_dB", "at the ear", "dB(A)"},
                                    {.key = "entry", .title = "entry", .number = false}}};
    for (const PartShown& one : report.heard) {
        report::Row row{
            {Cell(name_of_part(one.part)), Cell(local_time(one.from)),
             Cell(local_time({one.from.at, 0})), Cell(text_of(one.part.when.time())),
             level_cell(one.levels.outside), level_cell(one.levels.at_ear),
             Cell(one.part.entry > 0 ? std::to_string(one.part.entry) : std::string("–"))}};
        if (!one.part.exposure) row.notes = {"how loud is not known: " + one.part.why_unknown};
        if (one.part.unconfirmed) row.verdict = Verdict::Close;
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::vector<Block> entry_lines(const ShowReport& report) {
    report::List list{.items = {}, .bullets = true};
    for (const EntryDone& entry : report.entries) {
        list.items.push_back(
            {fmt::format("entry {}, {}, {}{}", entry.n, registers::entry_kinds[entry.kind].name,
                         both_times(entry.from), entry.what.empty() ? "" : ": " + entry.what)});
    }
    return {{std::move(list)}};
}

}  // namespace

bool ShowReport::is_well() const {
    return !so_far || so_far->criteria.empty() || so_far->verdict == Verdict::Within ||
           so_far->verdict == Verdict::Close;
}

namespace {

bool is_worse(const sessions::Judged& one, const sessions::Judged& other) {
    if (one.verdict != other.verdict) return one.verdict > other.verdict;
    const CriterionResult* tightest = one.tightest();
    const CriterionResult* others = other.tightest();
    return tightest && (!others || is_tighter(*tightest, *others));
}

/// The days of a session each by itself: of one over midnight the worse counts, and is named.
std::shared_ptr<const sessions::Judged> worst_day(const std::vector<sessions::Heard>& parts,
                                                  std::int64_t session, Instant of_day,
                                                  const sessions::Calendar& calendar,
                                                  sessions::Judge& judge, ShowReport& report) {
    const sessions::LocalDay last = calendar.day_of(of_day);
    std::set<sessions::LocalDay> others;
    for (const sessions::Heard& part : parts) {
        if (part.session != session) continue;
        for (auto day = calendar.day_of(part.when.from);
             day < last && calendar.span_of(day).from < part.when.to; day = day + 1)
            others.insert(day);
    }
    auto worst = judge.now(parts, last, report.role);
    if (others.empty()) return worst;
    sessions::LocalDay worst_on = last;
    for (const sessions::LocalDay day : others) {
        auto one = judge.now(parts, day, report.role);
        if (!is_worse(*one, *worst)) continue;
        worst = std::move(one);
        worst_on = day;
    }
    report.notes.push_back(
        {SessionNoteCode::OverMidnight,
         fmt::format("The session lasted over midnight: the limits below are of {}, where they "
                     "are tightest; register totals has each day.",
                     iso_date(worst_on))});
    return worst;
}

}  // namespace

ShowReport show_of(const registers::Register& from, const SessionAsked& asked,
                   const std::string& date) {
    const sessions::Calendar calendar = calendar_of(from);
    const Instant clock = now();
    const SessionState state = session_to_answer(from, asked, calendar, clock);
    const std::string as = asked.as.value_or(state.session.as);
    const Instant at = asked.at ? asked.at->at : std::max(clock, state.last_begin(as));
    ShowReport report{.file = file_of(from),
                      .record = {.date = date, .inputs = {}},
                      .session = state.session,
                      .as = as,
                      .role = state.presence(as).role,
                      .at = calendar.stated(at),
                      .begins = calendar.stated(state.session.begins)};
    if (state.session.ends) report.ends = calendar.stated(*state.session.ends);
    sessions::RecordCache cache;
    for (const Entry& entry : state.entries)
        if (entry.as == as) report.entries.push_back(shown(entry, cache));
    // The day on which it was, also of a session of long ago.
    const Instant of_day = report.ends && !asked.at ? report.ends->at : at;
    const auto entries = entries_for(from, calendar, as, of_day);
    const sessions::HeardByPerson heard = sessions::heard_by(entries, at, cache);
    for (const sessions::Heard& part : heard.parts) {
        if (part.session != state.number()) continue;
        report.heard.push_back({part, calendar.stated(part.when.from),
                                calendar.stated(part.when.to), levels_of(part.exposure)});
    }
    sessions::Judge judge(calendar);
    report.so_far = worst_day(heard.parts, state.number(), of_day, calendar, judge, report);
    note_state(state, entries, calendar, at, report.notes);
    note_others_stopped(from, state, calendar, at, report.notes);
    if (!asked.at) note_clock(state, calendar, clock, report.notes);
    return report;
}

report::Document show_document(const ShowReport& report) {
    report::Document document{
        .head = {"session show", "A session as it stands",
                 fmt::format("Session {} of {}", report.session.number, report.as),
                 report.file.file, report.record.date}};
    const sessions::PlanRef& plan = *report.session.start.plan;
    std::vector<Block> blocks = {{Paragraph{report::strong(fmt::format(
        "Session {} of {} ({}), {}", report.session.number, report.as, name_of(report.role),
        report.ends ? "ended at " + both_times(*report.ends)
                    : "open since " + both_times(report.begins)))}}};
    blocks.push_back({Paragraph{
        fmt::format("Plan: {} ({}, SHA-256 {}), begun at {}.", plan.title, plan.file,
                    report::hash_digits(plan.sha256.substr(0, 16)), both_times(report.begins))}});
    report::append(note_blocks(report.notes), blocks);
    document.sections.push_back({"session", "", std::move(blocks)});
    document.sections.push_back({"so-far", "What is left", so_far_blocks(report.so_far.get())});
    if (!report.heard.empty())
        document.sections.push_back({"heard", "Heard in it", {{heard_table(report)}}});
    document.sections.push_back({"entries", "Entries", entry_lines(report)});
    end_session_document(report.file, report.record, document);
    document.columns = 110;
    return document;
}

std::string show_json(const ShowReport& report) { return report::json_of(report); }

const report::ObjectShape& show_shape() { return report::object_shape<ShowReport>(); }

}  // namespace earbudget::records

namespace earbudget::report {

namespace {

std::string_view kind_of_heard(sessions::HeardKind kind) {
    switch (kind) {
        case sessions::HeardKind::Run:
            return "run";
        case sessions::HeardKind::Task:
            return "task";
        case sessions::HeardKind::Rest:
            return "rest";
    }
    return "";
}

}  // namespace

template <>
FieldTable<records::PartShown> describe() {
    using Of = records::PartShown;
    return {"#/$defs/heard",
            {{"kind",
              [](const Of& of) { return std::string(kind_of_heard(of.part.kind)); },
              {.one_of = "run task rest"}},
             {"name", [](const Of& of) { return of.part.name; },
              "the sequence's id, the task's title; empty: nothing running"},
             {"from", &Of::from},
             {"to", &Of::to},
             {"from_UTC",
              [](const Of& of) {
                  return StatedInstant{of.from.at, 0};
              }},
             {"seconds", [](const Of& of) { return of.part.when.time(); }},
             {"entry",
              [](const Of& of) {
                  return of.part.entry > 0 ? std::optional(of.part.entry) : std::nullopt;
              },
              "that tells of it; null of a rest"},
             {"unconfirmed", [](const Of& of) { return of.part.unconfirmed; },
              "how long it ran is not stated"},
             {"LAeq_dB", [](const Of& of) { return of.levels.outside; }},
             {"at_ear_LAeq_dB", [](const Of& of) { return of.levels.at_ear; }}}};
}

template <>
FieldTable<records::ShowReport> describe() {
    using Of = records::ShowReport;
    return {
        "session-show.schema.json",
        "earbudget session show --format json: a session as it stands",
        {{members_of, [](const Of&) { return Program{}; }},
         command<Of>("session"),
         {members_of,
          [](const Of& of) {
              return records::AnswerBegin{"show", of.file, of.record};
          }},
         {"session", [](const Of& of) { return of.session.number; }},
         {"as", &Of::as, "who is asked about"},
         {"role", &Of::role},
         {"plan",
          [](const Of& of) {
              const sessions::PlanRef& plan = *of.session.start.plan;
              return PlanFile{plan.title, {plan.file, plan.sha256}};
          },
          "as it was when the session began"},
         {"at", &Of::at, "until when what goes on counts"},
         {"begins", &Of::begins},
         {"ends", &Of::ends},
         {"entries", &Of::entries},
         {"heard", &Of::heard, "in it"},
         {"exposure", [](const Of& of) { return of.so_far ? of.so_far->exposure : DayExposure{}; },
          "of the day, in all sessions"},
         {"criteria",
          [](const Of& of) {
              return of.so_far ? of.so_far->criteria : std::vector<CriterionResult>();
          },
          "what was heard so far on the day and in the week, in all sessions"},
         {"verdict",
          [](const Of& of) { return of.so_far ? of.so_far->verdict : Verdict::Unknown; }},
         {"notes", &Of::notes, "what must be known besides"},
         {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report
