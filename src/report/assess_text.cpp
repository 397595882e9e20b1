#include "report/assess_text.hpp"

#include <algorithm>
#include <cctype>

#include <fmt/format.h>

#include "earbudget/computing/for_each_at_once.hpp"
#include "earbudget/study/visible_text.hpp"
#include "report/assess_sentences.hpp"
#include "report/assess_tables.hpp"
#include "report/assess_words.hpp"
#include "report/cautions.hpp"
#include "report/people_words.hpp"
#include "report/uncertainty_sentences.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

std::string lines_of(const std::vector<std::string>& sentences) {
    std::string text;
    for (const std::string& sentence : sentences)
        text += wrapped(sentence, 2, 4);
    return text;
}

std::string headline(const Assessment& assessment, const TextStyle& style) {
    std::string text = metal_headline(assessment);
    if (!text.empty()) text = wrapped(text, 0, 2);
    for (const Verdict verdict :
         {Verdict::Over, Verdict::Unknown, Verdict::Close, Verdict::Within}) {
        const std::string ids = ids_with(assessment, verdict);
        if (ids.empty()) continue;
        std::string words = words_of(verdict);
        if (verdict == Verdict::Over) {
            std::transform(words.begin(), words.end(), words.begin(),
                           [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
        } else {
            words.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(words[0])));
        }
        text += fmt::format("{}: {}\n", style.verdict(verdict, words), ids);
    }
    return text;
}

std::string advice_lines(const PersonResult& person) {
    if (person.advice.empty()) return "";
    std::string text = "  What to do\n";
    for (const Advice& advice : person.advice) {
        text += wrapped(fmt::format("- {}: {}", name_of(advice.code), advice.text), 4, 6);
    }
    return text;
}

std::string person_block(const Plan& plan, const PersonResult& result,
                         const std::vector<std::string>& ids, const TextStyle& style) {
    const Person& person = *result.person;
    std::string text =
        fmt::format("\n{} — {}, {}: {}\n", style.strong(name_of_group(ids)), name_of(person.role),
                    wears_text(plan, person), style.verdict(result.verdict, verdict_words(result)));
    if (ids.size() > 1) text += wrapped(others_of_group(ids), 2, 4);
    text += lines_of(reasons_of(result)) + advice_lines(result);
    if (!result.criteria.empty()) {
        text += '\n' + criteria_table(result) + lines_of(uncertainty_sentences(plan, result));
    }
    text += '\n' + segment_table(plan, result) + lines_of(day_sentences(plan, result));
    return text;
}

std::string sources(const Assessment& assessment) {
    const auto sentences = criteria_sentences(assessment);
    return sentences.empty() ? "" : "\nCriteria\n" + lines_of(sentences);
}

std::string warnings(const Assessment& assessment) {
    if (assessment.warnings.empty()) return "";
    std::string text = "\nWarnings\n";
    for (const Warning& warning : said_once(assessment.warnings)) {
        text += wrapped(fmt::format("- {} ({})", warning_words(warning, assessment.people.size()),
                                    warning.code),
                        2, 4);
    }
    return text;
}

}  // namespace

std::string assess_text(const Assessment& assessment, const SourceFile& plan_file,
                        const Record& record, const TextStyle& style,
                        const std::optional<Earlier>& earlier) {
    std::string text = headline(assessment, style);
    if (!assessment.warnings.empty()) {
        const std::size_t warnings = said_once(assessment.warnings).size();
        text += fmt::format("With {} warning{}, below.\n", warnings, warnings == 1 ? "" : "s");
    }
    text += fmt::format("\n{}\n{}, SHA-256 {}…\n", style.strong(assessment.plan->title),
                        visible_text(plan_file.path), plan_file.sha256.substr(0, 16));
    if (earlier) text += '\n' + compare_text(earlier->comparison, earlier->file, style);
    const auto groups = people_together(assessment.people);
    const auto blocks = for_each_at_once(groups, [&](const PeopleTogether& group) {
        const PersonResult& person = assessment.people[group.front()];
        const auto ids = ids_of_group(assessment.people, group);
        return person_block(*assessment.plan, person, ids, style) +
               working_text(asked_working(record, ids, person.working));
    });
    for (const std::string& block : blocks)
        text += block;
    return text + sources(assessment) + warnings(assessment) +
           record_text(record, rules_of(assessment)) + cautions_text();
}

}  // namespace earbudget::report
