#include <algorithm>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "records/session_next.hpp"
#include "report/assess_fields.hpp"
#include "report/assess_words.hpp"
#include "report/cautions.hpp"
#include "report/sentences.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

using report::Block;
using report::Cell;
using report::Paragraph;
using sessions::Limiting;
using sessions::RunsLeft;

/// What keeps more runs from fitting, in words; after "limit: ".
std::string limit_words_of(const RunsLeft& left) {
    switch (left.limiting) {
        case Limiting::Nothing:
            return "no limit but the day";
        case Limiting::Exposure:
            return left.limited_by;
        case Limiting::Peak:
            return left.limited_by + ": the peak, which no time changes";
        case Limiting::PeakUnknown:
            return left.limited_by + ": no peak is stated on the card";
        case Limiting::Metal:
            return "what is worn is not free of metal";
        case Limiting::Stopped:
            return "stopped; nobody is named who cleared it";
        case Limiting::LevelUnknown:
            return "how loud it is here is not known: " + left.why_unknown;
        case Limiting::HeardUnknown:
            return "how loud something heard before was is not known";
        case Limiting::NoMethod:
            return left.limited_by + ": nothing reaches it under what is worn";
        case Limiting::NoLimit:
            return "no limit is known for this person: nothing can be decided";
    }
    return "";
}

std::string runs_words(const RunsLeft& left) {
    if (left.runs == 0) return "no more run";
    return fmt::format("{} more run{}", left.runs, left.runs == 1 ? "" : "s");
}

/// One line: how many more runs fit, and what limits.
report::Answer answer_of(const RunsLeft& left) {
    const Verdict verdict =
        left.runs > 0            ? Verdict::Within
        : left.best_estimate > 0 ? Verdict::Close
        : left.limiting == Limiting::Exposure || left.limiting == Limiting::Peak ||
                left.limiting == Limiting::Metal || left.limiting == Limiting::Stopped
            ? Verdict::Over
            : Verdict::Unknown;
    const std::string best = left.best_estimate == left.runs
                                 ? std::string()
                                 : fmt::format(" (best estimate {})", left.best_estimate);
    return {verdict, left.id,
            fmt::format("{} of {}{}; limit: {}", runs_words(left), text_of(left.time), best,
                        limit_words_of(left))};
}

report::Table criteria_table(const std::vector<CriterionResult>& criteria) {
    report::Table table{.name = "So far",
                        .columns = {{.key = "id", .title = "limit", .number = false},
                                    {.key = "value", .title = "so far"},
                                    {.key = "limit", .title = "permitted"},
                                    {.key = "margin_dB", .title = "left", .unit = "dB"},
                                    {.key = "probability_over", .title = "P(over)"}}};
    for (const CriterionResult& one : criteria) {
        Cell value(one.value, "–");
        Cell limit(one.limit);
        value.unit = limit.unit = one.is_dose() ? "%" : "dB";
        report::Row row{{Cell(one.criterion->id + (one.is_peak ? ", peak" : "")), value, limit,
                         Cell(one.margin ? std::optional(one.margin->dB()) : std::nullopt, "–"),
                         Cell(one.probability_over ? report::probability_text(one) : "–")}};
        row.verdict = one.verdict;
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace

std::vector<Block> so_far_blocks(const sessions::Judged* so_far) {
    if (!so_far || so_far->criteria.empty())
        return {{Paragraph{"Nothing of this day or week was heard that a limit of it counts."}}};
    std::vector<Block> blocks = {
        {Paragraph{"What was heard so far, here and in other sessions, against each limit:"}}};
    blocks.push_back({criteria_table(so_far->criteria)});
    return blocks;
}

report::Document next_document(const NextReport& report) {
    report::Document document{.head = {"session next", "May it be run again?",
                                       fmt::format("Session {} of {}", report.session, report.as),
                                       report.file.file, report.record.date}};
    report::Answers answers{
        .all = {},
        .marks = {"fits", "by the best estimate alone", "cannot be decided", "does not fit"}};
    for (const RunsLeft& left : report.next.sequences)
        answers.all.push_back(answer_of(left));
    std::vector<Block> blocks = {{Paragraph{
        report::strong(fmt::format("Session {}, {} as {}, {}; worn: {}", report.session, report.as,
                                   name_of(report.role), both_times(report.at), report.wears))}}};
    blocks.push_back({std::move(answers)});
    blocks.push_back({Paragraph{
        "Each alone, right after another, with no limit over with more than the accepted "
        "probability."}});
    report::append(note_blocks(report.notes), blocks);
    document.sections.push_back({"next", "", std::move(blocks)});
    document.sections.push_back({"so-far", "So far", so_far_blocks(report.next.so_far.get())});
    end_session_document(report.file, report.record, document);
    return document;
}

std::string next_json(const NextReport& report) { return report::json_of(report); }

const report::ObjectShape& next_shape() { return report::object_shape<NextReport>(); }

}  // namespace earbudget::records

namespace earbudget::report {

template <>
FieldTable<sessions::RunsLeft> describe() {
    using Of = sessions::RunsLeft;
    return {
        "#/$defs/runs_left",
        {{"id", &Of::id},
         {"seconds", &Of::time, "of one run"},
         {"runs_left", &Of::runs, "with no limit over with more than the accepted probability"},
         {"runs_left_best_estimate", &Of::best_estimate},
         {"limited_by",
          [](const Of& of) {
              const bool is_free = of.limiting == sessions::Limiting::Nothing;
              const std::string why(sessions::limiting_rows[of.limiting].name);
              return is_free ? std::nullopt
                             : std::optional(of.limited_by.empty() ? why : of.limited_by);
          },
          "id of the criterion, else what limits in the words of `limiting`; null: the 24 hours "
          "of a day"},
         {"limiting",
          [](const Of& of) { return std::string(sessions::limiting_rows[of.limiting].name); },
          {.names =
               [] {
                   const auto names = sessions::limiting_rows.names();
                   return std::vector<std::string>(names.begin(), names.end());
               }}},
         {"why_unknown", [](const Of& of) {
              return only_if(!of.why_unknown.empty(), [&] { return of.why_unknown; });
          }}}};
}

template <>
FieldTable<records::NextReport> describe() {
    using Of = records::NextReport;
    return {
        "session-next.schema.json",
        "earbudget session next --format json: how often each sequence still fits",
        {{members_of, [](const Of&) { return Program{}; }},
         command<Of>("session"),
         {members_of,
          [](const Of& of) {
              return records::AnswerBegin{"next", of.file, of.record};
          }},
         {"session", &Of::session},
         {"as", &Of::as, "who is asked about"},
         {"role", &Of::role},
         {"at", &Of::at},
         {"wears", &Of::wears, "in words"},
         {"sequences", [](const Of& of) { return of.next.sequences; }},
         {"criteria",
          [](const Of& of) {
              return of.next.so_far ? of.next.so_far->criteria : std::vector<CriterionResult>();
          },
          "what was heard so far; none where nothing was"},
         {"verdict",
          [](const Of& of) { return of.next.so_far ? of.next.so_far->verdict : Verdict::Unknown; },
          "of what was heard so far"},
         {"stopped_by_entry",
          [](const Of& of) {
              return of.next.stop ? std::optional(of.next.stop->entry) : std::nullopt;
          },
          "pain, ringing or dulled hearing that nobody has cleared"},
         {"unconfirmed", [](const Of& of) { return of.next.unconfirmed; },
          "entries of runs whose end is not stated"},
         {"notes", &Of::notes, "what must be known besides"},
         {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report
