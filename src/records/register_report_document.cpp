#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "records/register_report.hpp"
#include "report/assess_words.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

using Blocks = std::vector<report::Block>;

std::string so_many(std::size_t count, std::string_view one, std::string_view several) {
    return fmt::format("{} {}", count, count == 1 ? one : several);
}

std::string kind_words(ReportOf of) {
    switch (of) {
        case ReportOf::Person:
            return "What one person has heard";
        case ReportOf::Study:
            return "What the participants of a study have heard";
        case ReportOf::StaffMonth:
            return "What staff have heard in a month";
    }
    return "";
}

/// "5 days within every limit, 1 close to a limit".
std::string days_sentence(const RegisterReport& report) {
    std::vector<std::string> parts;
    for (const Verdict verdict :
         {Verdict::Over, Verdict::Unknown, Verdict::Close, Verdict::Within}) {
        if (const std::size_t days = report.days_with(verdict); days > 0)
            parts.push_back(fmt::format("{} {}", days, report::words_of(verdict)));
    }
    return parts.empty() ? std::string("No day of it is recorded.")
                         : fmt::format("Of {}: {}.", so_many(report.days(), "day", "days"),
                                       report::joined(parts, ", "));
}

std::string left_sentence(const RegisterReport& report) {
    const auto median = report.median_left_dB();
    if (!median) return "";
    return fmt::format("Half of the days had {} dB or more left to their tightest limit.",
                       decimal_text(*median, 1));
}

std::string events_sentence(const RegisterReport& report) {
    std::map<std::string_view, std::vector<std::int64_t>> by_kind;
    for (const PersonAnswer& person : report.totals.people)
        for (const EventAnswer& event : person.events)
            add_once(event.event.entry, by_kind[sessions::event_kinds[event.event.what].name]);
    if (by_kind.empty()) return "No event is recorded.";
    std::vector<std::string> parts;
    for (const auto& [name, entries] : by_kind)
        parts.push_back(fmt::format("{} {} ({})", entries.size(), name, entries_words(entries)));
    return fmt::format("Events: {}.", report::joined(parts, ", "));
}

Blocks close_blocks(const RegisterReport& report) {
    if (report.close.empty()) return {{report::Paragraph{"Nobody came close to a limit."}}};
    report::Table table{"Who came close or was over, the worst first",
                        {{.key = "as", .title = "who", .number = false},
                         {.key = "date", .title = "day", .number = false},
                         {.key = "criterion", .title = "limit", .number = false},
                         {.key = "entries", .title = "from", .number = false}}};
    for (const CloseDay& one : report.close) {
        report::Row row{{one.as, sessions::iso_date(one.day), limit_words(one.result),
                         entries_words(one.entries)}};
        if (one.result.verdict == Verdict::Over) row.verdict = Verdict::Over;
        table.rows.push_back(std::move(row));
    }
    return {{std::move(table)}};
}

report::Table sessions_table(const RegisterReport& report) {
    report::Table table{"Each session",
                        {{.key = "session", .title = "session", .decimals = 0},
                         {.key = "as", .title = "who", .number = false},
                         {.key = "begins", .title = "began", .number = false},
                         {.key = "plan", .title = "plan", .number = false},
                         {.key = "runs", .title = "runs", .decimals = 0},
                         {.key = "entries", .title = "from", .number = false}}};
    for (const SessionAnswer& one : report.sessions) {
        const std::string plan =
            one.plan.file.empty()
                ? std::string("–")
                : fmt::format("{}, SHA-256 {}…", one.plan.title, one.plan.sha256.substr(0, 16));
        report::Row row{{static_cast<double>(one.session), one.as, both_times(one.begins), plan,
                         static_cast<double>(one.runs), entries_words(one.entries)}};
        if (one.lower_bound) row.notes.emplace_back("a lower bound: from scans that were kept");
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::vector<std::string> first_sentences(const RegisterReport& report) {
    std::vector<std::string> all;
    if (report.of == ReportOf::Study) {
        all.push_back(
            fmt::format("{} of {} by plans of the title \"{}\"; each day is judged with "
                        "all that the person heard on it.",
                        so_many(report.sessions.size(), "session", "sessions"),
                        so_many(report.people(), "participant", "participants"), report.title));
    } else if (report.of == ReportOf::StaffMonth) {
        all.push_back(fmt::format("{} of staff with anything recorded in {}.",
                                  so_many(report.people(), "member", "members"), report.title));
    } else {
        all.push_back(fmt::format(
            "{} of {}.", so_many(report.sessions.size(), "session", "sessions"), report.title));
    }
    all.push_back(days_sentence(report));
    all.push_back(left_sentence(report));
    all.push_back(events_sentence(report));
    if (report.totals.lower_bound()) all.push_back(lower_bound_sentence());
    return all;
}

report::Section person_section(const PersonAnswer& person, std::size_t n, bool detail) {
    const Verdict verdict = person.verdict();
    return {.id = fmt::format("person-{}", n + 1),
            .heading = fmt::format("{}, {}", person.as, name_of(person.role)),
            .blocks = person_blocks(person, fmt::format("days-{}", n + 1)),
            .in_contents = person.as,
            .answer = person.days.empty()
                          ? std::nullopt
                          : std::optional(report::Answer{verdict, report::words_of(verdict)}),
            .of_one = true,
            .medium = detail ? report::Medium::Every : report::Medium::Page};
}

}  // namespace

report::Document report_document(const RegisterReport& report, bool detail) {
    report::Document document{.head = {"register report", kind_words(report.of), report.title,
                                       report.totals.file.file, report.totals.record.date}};
    Blocks blocks = {{report::sentences(first_sentences(report))}};
    if (!report.totals.people.empty() && report.of != ReportOf::Study)
        blocks.push_back({answers_of(report.totals.people)});
    document.sections.push_back({"verdict", "Verdict", std::move(blocks)});
    const auto add_drawings = [&](const char* id, const char* heading, auto draw) {
        document.sections.push_back(
            {.id = id,
             .heading = heading,
             .blocks = {{report::Figure{[report, draw] { return draw(report); }}}},
             .medium = report::Medium::Page});
    };
    if (report.of == ReportOf::Study) add_drawings("left", "What was left", left_figure);
    if (report.of == ReportOf::StaffMonth) add_drawings("staff", "Loudest days", staff_figure);
    if (report.days() > 0)
        document.sections.push_back({"close", "Close or over", close_blocks(report)});
    if (!report.sessions.empty())
        document.sections.push_back({"sessions", "Sessions", {{sessions_table(report)}}});
    for (std::size_t n = 0; n < report.totals.people.size(); ++n)
        document.sections.push_back(person_section(report.totals.people[n], n, detail));
    auto law = law_sentences();
    document.sections.push_back({"law", "How long it is kept", {{report::sentences(law)}}});
    add_record_of_register(report.totals.file, report.totals.record, report.totals.sources(),
                           report.totals.files(), detail, document);
    return document;
}

}  // namespace earbudget::records
