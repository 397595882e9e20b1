#include "report/uncertainty_sentences.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "report/assess_words.hpp"

namespace earbudget::report {

namespace {

const CriterionResult* tightest_by_first_order(const PersonResult& person) {
    const CriterionResult* tightest = nullptr;
    for (const CriterionResult& result : person.criteria) {
        if (!result.first_order || !result.margin) continue;
        if (!tightest || *result.margin < *tightest->margin) tightest = &result;
    }
    return tightest;
}

std::string parts_text(const FirstOrder& first_order) {
    std::string text;
    for (const ErrorShare& part : first_order.parts) {
        text += fmt::format("{}{} {:.1f} dB", text.empty() ? ": " : ", ", name_of(part.kind),
                            part.standard.dB());
    }
    return text;
}

bool disagrees(const CriterionResult& result) {
    return result.first_order && result.probability_over &&
           disagree(*result.probability_over, result.first_order->probability_over);
}

std::string disagreement(const CriterionResult& result) {
    return fmt::format(
        "{}: by first order the probability of being over would be {}; the exposure "
        "is far from normal, so that the draws count",
        result.criterion->id, percent_text(100.0 * result.first_order->probability_over));
}

bool is_over_though_unlikely(const CriterionResult& result) {
    return result.quantity != "peak" && result.verdict == Verdict::Over &&
           result.probability_over.value_or(1.0) < 0.5;
}

}  // namespace

std::vector<std::string> uncertainty_sentences(const PersonResult& person) {
    std::vector<std::string> sentences;
    if (const CriterionResult* result = tightest_by_first_order(person)) {
        sentences.push_back(fmt::format("uncertainty (k = 1) of {}, as a level, {:.1f} dB{}",
                                        result->criterion->id, result->first_order->standard.dB(),
                                        parts_text(*result->first_order)));
    }
    for (const CriterionResult& result : person.criteria) {
        if (disagrees(result)) sentences.push_back(disagreement(result));
    }
    if (std::ranges::any_of(person.criteria, is_over_though_unlikely)) {
        sentences.emplace_back(
            "over by the best estimate, though less probable than not: the method's figure is for "
            "those whom the protector helps less than most, the probability for everyone");
    }
    return sentences;
}

}  // namespace earbudget::report
