#include <fmt/format.h>

#include "earbudget/day/criteria_of_person.hpp"
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

/// So many of what stands in files of examples are named beside an answer. Own choice.
constexpr std::size_t most_examples = 2;

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

std::vector<Block> answers_of(const Plan& plan, const std::vector<PersonChoice>& choices,
                              const Telling& telling) {
    Answers answers{.all = {}, .marks = verdict_marks};
    for (const PeopleTogether& group : people_together(choices)) {
        const std::size_t n = group.front();
        const PersonChoice& choice = choices[n];
        Answer answer{choice.verdict(), "",
                      answer_words(plan, choice) + peak_beside_answer(choice)};
        if (const PlannedHandOuts* planned = telling.planned)
            answer = answer_of(plan, choice, planned->assessment.people[n], planned->each[n]);
        answer.words = name_of_group(ids_of_group(choices, group));
        answer.rest = joined({answer.rest, examples_words(choice.examples, most_examples)}, "; ");
        answers.all.push_back(std::move(answer));
    }
    std::vector<Block> blocks;
    if (const std::string first = headline(plan, choices); !first.empty())
        blocks.push_back({Paragraph{strong(first)}});
    blocks.push_back({std::move(answers)});
    if (const std::string terms = terms_of_all(choices); !terms.empty())
        blocks.push_back({Paragraph{"For everyone: " + terms + "."}});
    if (telling.begins_short()) append(short_rankings(plan, choices), blocks);
    blocks.push_back({ShortCautions()});
    return blocks;
}

/// Why it stands where it stands, and what speaks for and against it.
std::vector<std::string> reasons_for(const Policy& policy, const RankedChoice& choice) {
    std::vector<std::string> reasons;
    if (!choice.reason.empty())
        reasons.push_back("behind the one above: " + text_of(choice.reason));
    std::ranges::move(texts_of(choice.notes), std::back_inserter(reasons));
    // That it is over then is among the notes.
    if (choice.with_poor_fit == Verdict::Close && choice.verdict == Verdict::Within)
        reasons.push_back("poorly seated: " + words_of(*choice.with_poor_fit));
    if (std::string spread = spread_sentence(policy, choice); !spread.empty())
        reasons.push_back(std::move(spread));
    return reasons;
}

/// Each choice once, with all that is said of it.
Table ranking_of(const Plan& plan, const PersonChoice& choice) {
    Table table{.name = choice.person->id + ": ranking, best first",
                .columns = {{.key = "wears", .title = "worn, well seated, all the time"},
                            {.key = "verdict", .title = "verdict", .number = false},
                            {"while_scanning_dB", "while sequences run", "dB(A)"},
                            {"at_ear_LEX_8h_dB", "LEX,8h at the ear", "dB(A)"},
                            {.key = "method", .title = "by method", .number = false}},
                .rows = {},
                .notes_title = "why here, and what to know"};
    for (std::size_t n = 0; n < choice.ranking.size(); ++n) {
        const RankedChoice& ranked = choice.ranking[n];
        table.rows.push_back(
            {{fmt::format("{}. {}", n + 1, names_of(plan.catalogue, ranked.wears)),
              verdict_by_all_words(ranked), decibel_cell(ranked.while_scanning, "none"),
              decibel_cell(ranked.at_ear_LEX_8h, "none"),
              std::string(ranked.method ? name_of(*ranked.method) : "none")},
             reasons_for(choice.person->policy, ranked)});
    }
    return table;
}

/// The working of nothing worn, of the reduction needed and of each choice.
std::vector<Block> working_blocks(const Plan& plan, const PersonChoice& choice,
                                  const std::vector<std::string>& ids, const Record& record) {
    std::vector<Block> blocks;
    const auto add = [&](const std::string& of, const auto& whole) {
        blocks.push_back({Steps{name_of_group(ids) + ", " + of, [&record, ids, &whole] {
                                    return asked_working(record, ids, whole);
                                }}});
    };
    if (!record.with_working) return blocks;
    add("nothing worn", choice.unprotected.working);
    if (choice.required) add("the reduction needed", choice.required->working);
    for (const RankedChoice& ranked : choice.ranking)
        add(short_names_of(plan.catalogue, ranked.wears), ranked.working);
    return blocks;
}

Section person_section(const Plan& plan, const PersonChoice& choice, std::string id,
                       const std::vector<std::string>& ids, bool own_terms, const Record& record) {
    const Person& person = *choice.person;
    std::vector<std::string> all = {own_terms ? terms_sentence(person) : "", peak_sentence(choice)};
    const auto add = [&all](const std::vector<std::string>& more) {
        all.insert(all.end(), more.begin(), more.end());
    };
    add(texts_of(choice.notes));
    add({unprotected_sentence(choice), examples_words(choice.examples)});
    // What limits that are made for others ask for keeps none of the person's.
    if (choice.required && !lacks_limit_of_age(person))
        add(required_sentences(person.policy, *choice.required));
    add(not_permitted_sentences(plan, choice));
    Section section{.id = id,
                    .heading = fmt::format("{}, {}", name_of_group(ids), name_of(person.role)),
                    .blocks = {},
                    .in_contents = name_of_group(ids),
                    .of_one = true};
    if (ids.size() > 1) section.blocks.push_back({Paragraph{others_of_group(ids)}});
    section.blocks.push_back({sentences(all)});
    section.blocks.push_back({ranking_of(plan, choice)});
    section.blocks.push_back({Figure{[id = std::move(id), &plan, &choice] {
        return spread_figure(id + "-spread", plan, choice);
    }}});
    for (Block& block : working_blocks(plan, choice, ids, record))
        section.blocks.push_back(std::move(block));
    return section;
}

}  // namespace

Document choose_document(const Plan& plan, const std::vector<PersonChoice>& choices,
                         const Record& record, const Telling& telling) {
    const SourceFile& file = record.inputs.front();
    Document document{.head = {"choose", "Ear protection ranked for each person", plan.title,
                               file.path, record.date, file.sha256}};
    document.sections.push_back(
        {"verdict", "What to hand out", answers_of(plan, choices, telling)});
    if (telling.is_short_alone()) {
        end_in_short(record, {}, document);
        return document;
    }
    const bool own_terms = terms_of_all(choices).empty();
    std::size_t n = 0;
    for (const PeopleTogether& group : people_together(choices))
        document.sections.push_back(
            person_section(plan, choices[group.front()], fmt::format("person-{}", ++n),
                           ids_of_group(choices, group), own_terms, record));
    add_record_and_cautions(record, rules_of(choices), {}, document);
    if (telling.begins_short()) fold(telling, document);
    return document;
}

}  // namespace earbudget::report
