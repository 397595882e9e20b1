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
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using namespace html;

/// The same terms for all; empty where they differ.
std::string terms_of_all(const std::vector<PersonChoice>& choices) {
    std::string terms;
    for (const PersonChoice& choice : choices) {
        const std::string own = terms_sentence(*choice.person);
        if (!terms.empty() && own != terms) return "";
        terms = own;
    }
    return terms;
}

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
    const std::string terms = terms_of_all(choices);
    return section("verdict", 2, "What to hand out",
                   (first.empty() ? "" : element("p", "<strong>" + text(first) + "</strong>")) +
                       element("ul", "answers", "\n" + answers) + marks_key(verdict_marks) +
                       (terms.empty() ? "" : element("p", text("For everyone: " + terms + "."))) +
                       short_cautions());
}

/// Why it stands where it stands, and what speaks for and against it.
std::vector<std::string> reasons_of(const RankedChoice& choice) {
    std::vector<std::string> reasons;
    if (!choice.reason.empty()) reasons.push_back("behind the one above: " + choice.reason);
    reasons.insert(reasons.end(), choice.notes.begin(), choice.notes.end());
    // That it is over then is among the notes.
    if (choice.with_poor_fit == Verdict::Close && choice.verdict == Verdict::Within)
        reasons.push_back("poorly seated: " + words_of(*choice.with_poor_fit));
    return reasons;
}

/// Each choice once, with all that is said of it but the methods, which the drawing has.
std::string ranking_table(const Plan& plan, const PersonChoice& choice) {
    if (choice.ranking.empty()) return "";
    Table table(choice.person->id + ": ranking, best first", {{"worn, well seated, all the time"},
                                                              {"verdict"},
                                                              {"while sequences run, dB(A)", true},
                                                              {"LEX,8h at the ear, dB(A)", true},
                                                              {"by method"},
                                                              {"why here, and what to know"}});
    for (std::size_t n = 0; n < choice.ranking.size(); ++n) {
        const RankedChoice& ranked = choice.ranking[n];
        table.row({fmt::format("{}. {}", n + 1, text(names_of(plan.catalogue, ranked.wears))),
                   words_of(ranked.verdict), level_text(ranked.while_scanning),
                   level_text(ranked.at_ear_LEX_8h),
                   ranked.method ? std::string(name_of(*ranked.method)) : "none",
                   list_of(reasons_of(ranked))});
    }
    return table.markup();
}

std::string working(const PersonChoice& choice, const std::vector<std::string>& ids,
                    const Record& record) {
    const std::string name = name_of_group(ids);
    const auto block = [&](const std::string& of, const auto& whole) {
        return working_block(name + ", " + of, asked_working(record, ids, whole));
    };
    std::string all = block("nothing worn", choice.unprotected.working);
    if (choice.required) {
        all += block("the reduction needed", choice.required->working);
    }
    for (const RankedChoice& ranked : choice.ranking) {
        all += block(fmt::format("{}", fmt::join(ranked.wears, " + ")), ranked.working);
    }
    return all;
}

std::string person_section(const std::string& id, const Plan& plan, const PersonChoice& choice,
                           const std::vector<std::string>& ids, const PageHead& head,
                           bool own_terms, const Record& record) {
    const Person& person = *choice.person;
    std::vector<std::string> sentences;
    if (own_terms) sentences.push_back(terms_sentence(person));
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
    content += list_of(sentences) + ranking_table(plan, choice) +
               spread_figure(id + "-spread", plan, choice);
    content += working(choice, ids, record);
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
    const bool own_terms = terms_of_all(choices).empty();
    const auto groups = people_together(choices);
    for (std::size_t n = 0; n < groups.size(); ++n) {
        const std::string id = fmt::format("person-{}", n + 1);
        const auto ids = ids_of_group(choices, groups[n]);
        contents.emplace_back(id, name_of_group(ids));
        main += person_section(id, plan, choices[groups[n].front()], ids, head, own_terms, record);
    }
    contents.emplace_back("record", "Sources and record");
    contents.emplace_back("cautions", "Cautions");
    main += record_section(record, rules_of(choices)) + cautions_section();
    return page(head, contents, main, foot(record));
}

}  // namespace earbudget::report
