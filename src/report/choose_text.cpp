#include <fmt/format.h>

#include "earbudget/study/visible_text.hpp"
#include "report/cautions.hpp"
#include "report/choose_report.hpp"
#include "report/choose_sentences.hpp"
#include "report/people_words.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

/// Wrapped; nothing for an empty sentence.
std::string line(const std::string& sentence, std::size_t first, std::size_t next) {
    return sentence.empty() ? sentence : wrapped(sentence, first, next);
}

std::string ranked_lines(const Plan& plan, const RankedChoice& choice, std::size_t place) {
    std::string text = wrapped(fmt::format("{}. {}", place, ranked_words(plan, choice)), 2, 5);
    if (!choice.reason.empty()) text += wrapped("- behind the one above: " + choice.reason, 5, 7);
    for (const std::string& note : choice.notes)
        text += wrapped("- " + note, 5, 7);
    const std::string spread = spread_sentence(choice);
    return spread.empty() ? text : text + wrapped("- " + spread, 5, 7);
}

std::string required_lines(const Policy& policy, const RequiredReduction& required) {
    std::string text;
    for (const std::string& sentence : required_sentences(policy, required))
        text += text.empty() ? wrapped(sentence, 2, 4) : wrapped(sentence, 4, 6);
    return text;
}

std::string person_block(const Plan& plan, const PersonChoice& choice,
                         const std::vector<std::string>& ids, const TextStyle& style,
                         const Record& record) {
    const Person& person = *choice.person;
    std::string text = fmt::format("\n{}\n", style.strong(name_of_group(ids)));
    text += line(others_of_group(ids), 2, 4);
    text += wrapped(terms_sentence(person), 2, 4) + line(peak_sentence(choice), 2, 4);
    for (const std::string& note : choice.notes)
        text += wrapped("- " + note, 2, 4);
    const auto working = [&](const RankedChoice& ranked) {
        return working_text(asked_working(record, ids, ranked.working));
    };
    text += wrapped(unprotected_sentence(choice.unprotected), 2, 4) + working(choice.unprotected);
    if (choice.required) {
        text += required_lines(person.policy, *choice.required);
        text += working_text(asked_working(record, ids, choice.required->working));
    }
    for (std::size_t n = 0; n < choice.ranking.size(); ++n)
        text += ranked_lines(plan, choice.ranking[n], n + 1) + working(choice.ranking[n]);
    for (const std::string& sentence : not_permitted_sentences(plan, choice))
        text += wrapped(sentence, 2, 4);
    return text;
}

}  // namespace

std::string choose_text(const Plan& plan, const std::vector<PersonChoice>& choices,
                        const Record& record, const TextStyle& style) {
    const SourceFile& plan_file = record.inputs.front();
    std::string text = line(headline(plan, choices), 0, 2);
    const auto groups = people_together(choices);
    for (const PeopleTogether& group : groups) {
        const PersonChoice& choice = choices[group.front()];
        text += fmt::format("{}: {}{}\n", name_of_group(ids_of_group(choices, group)),
                            answer_words(plan, choice),
                            choice.peak == Verdict::Over ? "; but a peak is above its limit" : "");
    }
    text += fmt::format("\n{}\n{}, SHA-256 {}…\n", style.strong(plan.title),
                        visible_text(plan_file.path), plan_file.sha256.substr(0, 16));
    for (const PeopleTogether& group : groups)
        text +=
            person_block(plan, choices[group.front()], ids_of_group(choices, group), style, record);
    return text + record_text(record, rules_of(choices)) + cautions_text();
}

}  // namespace earbudget::report
