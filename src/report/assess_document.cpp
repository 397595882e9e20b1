#include <fmt/format.h>

#include "earbudget/computing/for_each_at_once.hpp"
#include "report/assess_parts.hpp"
#include "report/assess_words.hpp"
#include "report/drawings/plot.hpp"
#include "report/reports.hpp"
#include "report/sentences.hpp"
#include "report/short_answer.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"
#include "report/working.hpp"

namespace earbudget::report {

namespace {

Answers verdicts_alone(const Assessment& assessment) {
    Answers answers{.all = {}, .marks = verdict_marks, .loud = true};
    for (const Verdict verdict :
         {Verdict::Over, Verdict::Unknown, Verdict::Close, Verdict::Within}) {
        std::string ids = ids_with(assessment, verdict);
        if (!ids.empty())
            answers.all.push_back({verdict, first_letter_large(words_of(verdict)), std::move(ids)});
    }
    return answers;
}

/// "3 warnings"; empty without any.
std::string number_of_warnings(const Assessment& assessment) {
    const std::size_t warnings = said_once(assessment.warnings).size();
    return warnings == 0 ? "" : fmt::format("{} warning{}", warnings, warnings == 1 ? "" : "s");
}

Section verdict_section(const Assessment& assessment, const Telling& telling) {
    std::vector<Block> blocks;
    if (const std::string metal = metal_headline(assessment); !metal.empty())
        blocks.push_back({Paragraph{strong(metal)}});
    blocks.push_back({telling.begins_short() ? short_answers(assessment, telling.outs)
                                             : verdicts_alone(assessment)});
    if (telling.is_short_alone()) return {"verdict", "Verdict", std::move(blocks)};
    blocks.push_back({ShortCautions()});
    if (const std::string warnings = number_of_warnings(assessment); !warnings.empty())
        blocks.push_back(
            {Paragraph{.words = fmt::format("With {}, below.", warnings), .link = "warnings"}});
    std::vector<Block> margins = {
        {Figure{[&assessment] { return margin_figures("margins", assessment); }}}};
    return {"verdict", "Verdict", {{Beside{"verdict", {std::move(blocks), std::move(margins)}}}}};
}

}  // namespace

Table limits_table(const PersonResult& person) {
    Table table{person.person->id + ": limits",
                {{.key = "id", .title = "limit"},
                 {"value", "value"},
                 {"limit", "permitted"},
                 {"margin_dB", "margin"},
                 {"probability_over", "P(over)"},
                 {"not_exceeded", "95 % within"},
                 {.key = "verdict", .title = "verdict", .number = false}}};
    for (const CriterionResult& result : person.criteria) {
        const bool others = result.made_for_others;
        Row row{{result.criterion->id + ", " + quantity_text(result) +
                     (result.at_ear ? " at the ear" : " outside"),
                 value_text(result), limit_text(result), others ? "–" : margin_text(result),
                 result.probability_over && !others ? probability_text(result) : "–",
                 result.not_exceeded ? not_exceeded_text(result) : "–", verdict_word(result)}};
        if (std::string apart = why_apart(person, result); !apart.empty())
            row.notes.push_back(std::move(apart));
        if (result.decides && result.verdict == Verdict::Over) row.verdict = Verdict::Over;
        table.rows.push_back(std::move(row));
    }
    return table;
}

namespace {

/// None where the limits by which they would fit are made for others.
std::string runs_cell(const PersonResult& person, const std::optional<unsigned>& runs) {
    return runs && !is_by_limits_of_others(person) ? runs_text(runs) : "–";
}

Table rows_table(const Plan& plan, const PersonResult& person) {
    Table table{person.person->id + ": one session",
                {{.key = "what", .title = "in one session"},
                 {"seconds", "time"},
                 {"LAeq_dB", "outside", "dB(A)"},
                 {"reduction_dB", "reduction", "dB"},
                 {"at_ear_LAeq_dB", "at the ear", "dB(A)"},
                 {"share_percent", "share of energy"},
                 {"repeats_left", "more runs that fit"},
                 {"repeats_left_best_estimate", "by best estimate"}}};
    table.rows.reserve(person.segments.size());
    for (const SegmentResult& segment : person.segments) {
        const bool sounds = segment.row.sound != nullptr;
        table.rows.push_back({list_of<Cell>(
            segment_name(plan, *person.person, segment.row), table_time(segment.row.time),
            sounds ? decibel_cell(segment.row.outside(), "none") : Cell("no sound"),
            sounds ? Cell(segment.reduction.dB()) : Cell("–"),
            sounds ? decibel_cell(segment.row.at_ear, "none") : Cell("–"),
            percent_text(segment.share_percent), runs_cell(person, segment.repeats_left),
            runs_cell(person, segment.repeats_left_best_estimate))});
    }
    return table;
}

List advice_list(const PersonResult& person) {
    List list{.items = {}, .bullets = true};
    for (const Advice& advice : person.advice)
        list.items.push_back({strong(name_of(advice.code)) + ": " + text_of(advice.says, " ")});
    return list;
}

/// The figures of a day: tables and sentences.
std::vector<Block> numbers_of(const Plan& plan, const PersonResult& person) {
    return list_of<Block>(Block{Heading{"Figures"}, Medium::Page}, Block{limits_table(person)},
                          Block{sentences(uncertainty_sentences(plan, person))},
                          Block{rows_table(plan, person)},
                          Block{sentences(day_sentences(plan, person))});
}

std::vector<Block> drawings_of(const std::string& id, const Plan& plan,
                               const PersonResult& person) {
    return {
        {Figure{[id, &plan, &person] { return allowance_figure(id + "-course", plan, person); }}},
        {Figure{[id, &plan, &person] { return spectrum_figure(id + "-spectrum", plan, person); }}},
        {Figure{[id, &plan, &person] { return share_figure(id + "-shares", plan, person); }}}};
}

/// The title too, of one person alone.
std::string name_with_title(const std::vector<std::string>& ids, const Person& person) {
    if (ids.size() > 1 || person.title.empty()) return name_of_group(ids);
    return fmt::format("{} ({})", person.title, person.id);
}

Section person_section(const std::string& id, const Plan& plan, const PersonResult& result,
                       const HandOut* out, const std::vector<std::string>& ids,
                       const Record& record) {
    const Person& person = *result.person;
    Section section{
        .id = id,
        .heading = fmt::format("{}, {}", name_with_title(ids, person), name_of(person.role)),
        .blocks = {},
        .in_contents = name_of_group(ids),
        .answer = Answer{result.verdict, verdict_words(result), wears_text(plan, person)},
        .look = "part person",
        .of_one = true};
    auto& blocks = section.blocks;
    if (ids.size() > 1) blocks.push_back({Paragraph{others_of_group(ids)}});
    if (!person.note.empty()) blocks.push_back({Paragraph{person.note}});
    blocks.push_back({Paragraph{hand_out_sentence(plan, result, out)}});
    blocks.push_back(
        {Beside{"lead", {{{Heading{"Why"}, Medium::Page}, {sentences(reasons_of(result))}}}}});
    if (!result.advice.empty())
        blocks.push_back({Beside{"lead", {{{Heading{"What to do"}}, {advice_list(result)}}}}});
    blocks.push_back(
        {Beside{"with-charts", list_of<std::vector<Block>>(numbers_of(plan, result),
                                                           drawings_of(id, plan, result))}});
    section.after.push_back({Steps{name_of_group(ids), [&result, &record, ids] {
                                       return asked_working(record, ids, result.working);
                                   }}});
    return section;
}

List warnings_of(const Assessment& assessment) {
    List list{.items = {}, .bullets = true};
    for (const Warning& warning : said_once(assessment.warnings))
        list.items.push_back({fmt::format(
            "{} ({})", warning_words(warning, assessment.people.size()), warning.code())});
    return list;
}

}  // namespace

namespace {

/// Who must not start, before every verdict.
std::vector<Block> stopped_blocks(const StartedFrom& from) {
    std::vector<std::string> who;
    for (const HeardBefore& one : from.people)
        if (one.stopped) who.push_back(fmt::format("{} ({})", one.id, one.as));
    if (who.empty()) return {};
    return {{Paragraph{strong("DO NOT START") +
                       fmt::format(": {}: pain, ringing or dulled hearing was told, and nobody has "
                                   "cleared it. Refer.",
                                   fmt::join(who, ", "))}}};
}

/// Of each of them what was heard before, with what it comes to.
Section started_section(const StartedFrom& from) {
    List list{.items = {}, .bullets = true};
    for (const HeardBefore& one : from.people) {
        std::vector<Item> so_far;
        for (const CriterionResult& result : one.criteria)
            so_far.push_back({margin_first(result)});
        std::string words = fmt::format("{} as {}", one.id, one.as);
        if (one.criteria.empty()) words += ": nothing on that day and in that week";
        if (one.stopped)
            words += ": STOPPED by pain, ringing or dulled hearing, which nobody has cleared";
        list.items.push_back({std::move(words), std::move(so_far)});
    }
    std::vector<Block> blocks;
    blocks.push_back({Paragraph{fmt::format(
        "Limits, verdicts and repeats of these people are of what they heard before and the plan's "
        "day together, from {} on; levels, exposure and ways of the day are of the plan alone, and "
        "what to do instead was not looked for. Register {}, head {}.",
        from.at, from.of_register.path, hash_digits(from.of_register.sha256))}});
    blocks.push_back({std::move(list)});
    return {"started-from", "Heard before", std::move(blocks)};
}

}  // namespace

Document assess_document(const Assessment& assessment, const SourceFile& file, const Record& record,
                         const std::optional<Earlier>& earlier, const Telling& telling) {
    const Plan& plan = *assessment.plan;
    Document document{.head = {"assess",
                               "Sound at the ear over a planned session, against its limits",
                               plan.title, file.path, record.date, file.sha256}};
    if (record.started_from) {
        for (Block& block : stopped_blocks(*record.started_from))
            document.sections.push_back({"stopped", "", {std::move(block)}});
    }
    document.sections.push_back(verdict_section(assessment, telling));
    if (record.started_from) document.sections.push_back(started_section(*record.started_from));
    if (earlier) document.sections.push_back(compare_section(*earlier));
    if (telling.is_short_alone()) {
        const std::string warnings = number_of_warnings(assessment);
        end_in_short(record,
                     {asked_before_in_short(assessment),
                      warnings.empty() ? "No warnings." : warnings + ", listed by --detail."},
                     document);
        return document;
    }
    const auto groups = people_together(assessment.people);
    std::vector<std::size_t> places(groups.size());
    for (std::size_t n = 0; n < places.size(); ++n)
        places[n] = n;
    for (Section& one : for_each_at_once(places, [&](std::size_t n) {
             const PersonResult& person = assessment.people[groups[n].front()];
             return person_section(fmt::format("person-{}", n + 1), plan, person,
                                   telling.outs ? &telling.outs->each[groups[n].front()] : nullptr,
                                   ids_of_group(assessment.people, groups[n]), record);
         }))
        document.sections.push_back(std::move(one));
    if (!assessment.warnings.empty())
        document.sections.push_back({"warnings", "Warnings", {{warnings_of(assessment)}}});
    if (auto criteria = criteria_sentences(assessment); !criteria.empty())
        document.sections.push_back({"criteria", "Criteria", {{sentences(criteria)}}});
    add_record_and_cautions(record, rules_of(assessment), {}, document);
    if (telling.begins_short()) fold(telling, document);
    return document;
}

}  // namespace earbudget::report
