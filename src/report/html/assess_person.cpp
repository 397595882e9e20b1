#include "report/html/assess_person.hpp"

#include <fmt/format.h>

#include "report/assess_sentences.hpp"
#include "report/assess_tables.hpp"
#include "report/assess_words.hpp"
#include "report/html/charts.hpp"
#include "report/html/markup.hpp"
#include "report/html/parts.hpp"
#include "report/html/table.hpp"
#include "report/people_words.hpp"
#include "report/text_style.hpp"
#include "report/uncertainty_sentences.hpp"

namespace earbudget::report::html {

namespace {

std::string limits_table(const PersonResult& person) {
    if (person.criteria.empty()) return "";
    Table table(person.person->id + ": limits", {{"limit"},
                                                 {"value", true},
                                                 {"permitted", true},
                                                 {"margin", true},
                                                 {"probability over", true},
                                                 {"verdict"}});
    for (const CriterionResult& result : person.criteria) {
        const std::string apart = why_apart(person, result);
        table.row({text(result.criterion->id) + ", " + text(quantity_text(result)) +
                       (result.at_ear ? " at the ear" : " outside"),
                   value_text(result), limit_text(result), margin_text(result),
                   result.probability_over ? escaped(probability_text(result)) : "–",
                   verdict_word(result) + (apart.empty() ? "" : ": " + text(apart))},
                  result.decides && result.verdict == Verdict::Over ? "over" : "");
    }
    return table.markup();
}

std::string runs_cell(const std::optional<unsigned>& runs) {
    return runs ? escaped(runs_text(runs)) : "–";
}

std::string rows_table(const Plan& plan, const PersonResult& person) {
    Table table(person.person->id + ": one session", {{"row"},
                                                      {"time", true},
                                                      {"outside, dB(A)", true},
                                                      {"reduction, dB", true},
                                                      {"at the ear, dB(A)", true},
                                                      {"share of energy", true},
                                                      {"more runs that fit", true},
                                                      {"by the best estimate", true}});
    for (const SegmentResult& segment : person.segments) {
        const bool sounds = segment.row.sound != nullptr;
        table.row({text(segment_name(plan, *person.person, segment.row)),
                   table_time(segment.row.time),
                   sounds ? level_text(segment.row.outside()) : "no sound",
                   sounds ? fmt::format("{:.1f}", segment.reduction.dB()) : "–",
                   sounds ? level_text(segment.row.at_ear) : "–",
                   escaped(percent_text(segment.share_percent)), runs_cell(segment.repeats_left),
                   runs_cell(segment.repeats_left_best_estimate)});
    }
    return table.markup();
}

std::string advice_list(const PersonResult& person) {
    std::string items;
    for (const Advice& advice : person.advice)
        items += element("li", "<strong>" + text(std::string(name_of(advice.code))) +
                                   "</strong>: " + text(advice.text));
    return items.empty() ? "" : element("ul", "plain", "\n" + items);
}

std::string charts(const std::string& id, const Plan& plan, const PersonResult& person) {
    return allowance_figure(id + "-course", plan, person, allowance_course(person)) +
           spectrum_figure(id + "-spectrum", plan, person) +
           share_figure(id + "-shares", plan, person);
}

}  // namespace

std::string person_section(const std::string& id, const Plan& plan, const PersonResult& result,
                           const std::vector<std::string>& ids, const PageHead& head,
                           const Working& working) {
    const Person& person = *result.person;
    std::vector<std::string> sentences = uncertainty_sentences(plan, result);
    for (std::string& sentence : day_sentences(plan, result))
        sentences.push_back(std::move(sentence));
    const std::string figures = element("h3", "Figures") + limits_table(result) +
                                rows_table(plan, result) + list_of(sentences);
    std::string content = running_line(head);
    if (ids.size() > 1) content += element("p", text(others_of_group(ids)));
    content += answer_line(
        result.verdict, fmt::format("<span class=\"word\">{}</span> – {}",
                                    text(verdict_words(result)), text(wears_text(plan, person))));
    content += element("div", "lead", "\n" + element("h3", "Why") + list_of(reasons_of(result)));
    const std::string advice = advice_list(result);
    if (!advice.empty())
        content += element("div", "lead", "\n" + element("h3", "What to do") + advice);
    content += element(
        "div", "with-charts",
        "\n" + element("div", "\n" + figures) + element("div", "\n" + charts(id, plan, result)));
    const std::string whole =
        section(id, 2, text(fmt::format("{}, {}", name_of_group(ids), name_of(person.role))),
                content, "part person");
    return whole + working_block(name_of_group(ids), working);
}

}  // namespace earbudget::report::html
