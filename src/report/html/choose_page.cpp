#include "report/choose_page.hpp"

#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/choose_sentences.hpp"
#include "report/html/charts.hpp"
#include "report/html/markup.hpp"
#include "report/html/page.hpp"
#include "report/html/parts.hpp"
#include "report/html/table.hpp"
#include "report/people_words.hpp"

namespace earbudget::report {

namespace {

using namespace html;

std::string answer_section(const Plan& plan, const std::vector<PersonChoice>& choices) {
    std::string answers;
    const std::string first = headline(plan, choices);
    for (const PeopleTogether& group : people_together(choices)) {
        const PersonChoice& choice = choices[group.front()];
        answers +=
            answer(choice.verdict(), name_of_group(ids_of_group(choices, group)),
                   answer_words(plan, choice) +
                       (choice.peak == Verdict::Over ? "; but a peak is above its limit" : ""));
    }
    return section("verdict", 2, "What to hand out",
                   (first.empty() ? "" : element("p", "<strong>" + text(first) + "</strong>")) +
                       element("ul", "answers", "\n" + answers) + short_cautions());
}

std::string ranking_table(const Plan& plan, const PersonChoice& choice) {
    if (choice.ranking.empty()) return "";
    Table table(choice.person->id + ": ranking, best first", {{"worn, well seated, all the time"},
                                                              {"verdict"},
                                                              {"while sequences run, dB(A)", true},
                                                              {"LEX,8h at the ear, dB(A)", true},
                                                              {"tightest margin, dB", true},
                                                              {"probability over", true},
                                                              {"poorly seated"}});
    for (std::size_t n = 0; n < choice.ranking.size(); ++n) {
        const RankedChoice& ranked = choice.ranking[n];
        table.row({fmt::format("{}. {}", n + 1, text(names_of(plan.catalogue, ranked.wears))),
                   words_of(ranked.verdict), level_text(ranked.while_scanning),
                   level_text(ranked.at_ear_LEX_8h),
                   ranked.worst_margin ? fmt::format("{:.1f}", ranked.worst_margin->dB()) : "–",
                   ranked.probability_over ? escaped(percent_text(100.0 * *ranked.probability_over))
                                           : "–",
                   ranked.with_poor_fit ? words_of(*ranked.with_poor_fit) : "–"});
    }
    return table.markup();
}

/// Why each stands where it stands, and what speaks for and against it.
std::string reasons(const Plan& plan, const PersonChoice& choice) {
    std::string items;
    for (const RankedChoice& ranked : choice.ranking) {
        std::vector<std::string> notes;
        if (!ranked.reason.empty()) notes.push_back("behind the one above: " + ranked.reason);
        notes.insert(notes.end(), ranked.notes.begin(), ranked.notes.end());
        const std::string spread = spread_sentence(ranked);
        if (!spread.empty()) notes.push_back(spread);
        items += element("li", text(ranked_words(plan, ranked)) + list_of(notes));
    }
    return items.empty()
               ? ""
               : element("h3", "Why in this order") + element("ol", "plain", "\n" + items);
}

std::string working(const Plan& plan, const PersonChoice& choice) {
    const Person& person = *choice.person;
    std::string all =
        working_block(person.id + ", nothing worn", working_of(plan, person, choice.unprotected));
    if (choice.required) {
        all += working_block(person.id + ", the reduction needed",
                             working_of(person, *choice.required, choice.unprotected));
    }
    for (const RankedChoice& ranked : choice.ranking) {
        all += working_block(fmt::format("{}, {}", person.id, fmt::join(ranked.wears, " + ")),
                             working_of(plan, person, ranked));
    }
    return all;
}

std::string person_section(const std::string& id, const Plan& plan, const PersonChoice& choice,
                           const std::vector<std::string>& ids, const PageHead& head,
                           bool with_working) {
    const Person& person = *choice.person;
    std::vector<std::string> sentences{terms_sentence(person)};
    if (const std::string peak = peak_sentence(choice); !peak.empty()) sentences.push_back(peak);
    sentences.insert(sentences.end(), choice.notes.begin(), choice.notes.end());
    sentences.push_back(unprotected_sentence(choice.unprotected));
    if (choice.required) {
        for (std::string& sentence : required_sentences(person.policy, *choice.required))
            sentences.push_back(std::move(sentence));
    }
    for (std::string& sentence : not_permitted_sentences(plan, choice))
        sentences.push_back(std::move(sentence));
    std::string content = running_line(head);
    if (ids.size() > 1) content += element("p", text(others_of_group(ids)));
    content += fmt::format("<p class=\"answer {}\"><span class=\"word\">{}</span></p>\n",
                           name_of(choice.verdict()), text(answer_words(plan, choice)));
    content += list_of(sentences) + ranking_table(plan, choice) +
               spread_figure(id + "-spread", plan, choice) + reasons(plan, choice);
    if (with_working) content += working(plan, choice);
    return section(id, 2, text(fmt::format("{}, {}", name_of_group(ids), name_of(person.role))),
                   content);
}

}  // namespace

std::string choose_page(const Plan& plan, const std::vector<PersonChoice>& choices,
                        const Record& record) {
    const PageHead head{"choose", "Ear protection ranked for each person", plan.title,
                        record.inputs.front().path, record.date};
    Contents contents = {{"verdict", "What to hand out"}};
    std::string main = answer_section(plan, choices);
    const auto groups = people_together(choices);
    for (std::size_t n = 0; n < groups.size(); ++n) {
        const std::string id = fmt::format("person-{}", n + 1);
        const auto ids = ids_of_group(choices, groups[n]);
        contents.emplace_back(id, name_of_group(ids));
        main +=
            person_section(id, plan, choices[groups[n].front()], ids, head, record.with_working);
    }
    contents.emplace_back("record", "Sources and record");
    contents.emplace_back("cautions", "Cautions");
    main += record_section(record, rules_of(choices)) + cautions_section();
    return page(head, contents, main, foot(record));
}

}  // namespace earbudget::report
