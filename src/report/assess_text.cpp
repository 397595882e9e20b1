#include "report/assess_text.hpp"

#include <algorithm>
#include <cctype>

#include <fmt/format.h>

#include "earbudget/decision/for_each_at_once.hpp"
#include "report/assess_sentences.hpp"
#include "report/assess_tables.hpp"
#include "report/assess_words.hpp"
#include "report/cautions.hpp"
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
        text += wrapped(fmt::format("- {}: {}", advice.code, advice.text), 4, 6);
    }
    return text;
}

std::string person_block(const Plan& plan, const PersonResult& result, const TextStyle& style) {
    const Person& person = *result.person;
    std::string text =
        fmt::format("\n{} — {}, {}: {}\n", style.strong(person.id), name_of(person.role),
                    wears_text(plan, person), style.verdict(result.verdict, verdict_words(result)));
    text += lines_of(reasons_of(result)) + advice_lines(result);
    if (!result.criteria.empty()) {
        text += '\n' + criteria_table(result) + lines_of(uncertainty_sentences(plan, result));
    }
    text += '\n' + segment_table(plan, result) + lines_of(day_sentences(result));
    return text;
}

std::string sources(const Assessment& assessment) {
    const auto sentences = criteria_sentences(assessment);
    return sentences.empty() ? "" : "\nCriteria\n" + lines_of(sentences);
}

std::string warnings(const Assessment& assessment) {
    if (assessment.warnings.empty()) return "";
    std::string text = "\nWarnings\n";
    for (const Warning& warning : assessment.warnings) {
        text += wrapped(fmt::format("- {} ({})", warning.text, warning.code), 2, 4);
    }
    return text;
}

}  // namespace

std::string assess_text(const Assessment& assessment, const SourceFile& plan_file,
                        const Record& record, const TextStyle& style,
                        const std::optional<Earlier>& earlier) {
    std::string text = headline(assessment, style);
    if (!assessment.warnings.empty()) {
        text += fmt::format("With {} warning{}, below.\n", assessment.warnings.size(),
                            assessment.warnings.size() == 1 ? "" : "s");
    }
    text += fmt::format("\n{}\n{}, SHA-256 {}…\n", style.strong(assessment.plan->title),
                        plan_file.path, plan_file.sha256.substr(0, 16));
    if (earlier) text += '\n' + compare_text(earlier->comparison, earlier->file, style);
    const auto blocks = for_each_at_once(assessment.people, [&](const PersonResult& person) {
        std::string block = person_block(*assessment.plan, person, style);
        if (record.with_working) block += working_text(working_of(*assessment.plan, person));
        return block;
    });
    for (const std::string& block : blocks)
        text += block;
    return text + sources(assessment) + warnings(assessment) +
           record_text(record, rules_of(assessment)) + cautions_text();
}

}  // namespace earbudget::report
