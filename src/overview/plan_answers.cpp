#include "overview/plan_answers.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>

#include <fmt/format.h>

#include "earbudget/limits/judge.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"

namespace earbudget::overview {

namespace {

std::string normal(const std::string& path) {
    return std::filesystem::path(path).lexically_normal().string();
}

Tightness tightness_of(const PersonAnswer& person) {
    const auto& limit = person.tightest;
    return {person.verdict, limit && !limit->by_bound ? limit->margin : std::nullopt};
}

std::optional<LevelDifference> margin_of_tightest(const PlanAnswer& plan) {
    const PersonAnswer* person = plan.decided_by();
    return person && person->tightest ? person->tightest->margin : std::nullopt;
}

}  // namespace

const PersonAnswer* PlanAnswer::decided_by() const {
    const PersonAnswer* first = nullptr;
    for (const PersonAnswer& person : people) {
        if (!first || is_tighter(tightness_of(person), tightness_of(*first))) first = &person;
    }
    return first;
}

TightestLimit in_short(const CriterionResult& result) {
    return {.criterion = result.criterion->id,
            .quantity = std::string(result.quantity()),
            .value = result.value,
            .limit = result.limit,
            .unit = result.unit(),
            .at_ear = result.at_ear,
            .by_bound = result.by_bound,
            .margin = result.margin,
            .probability_over = result.probability_over,
            .name_in_words =
                fmt::format("{}, {}{}", result.criterion->id, report::quantity_text(result),
                            result.at_ear ? " at the ear" : " outside"),
            .value_in_words = report::value_text(result),
            .limit_in_words = report::limit_text(result),
            .left_in_words = report::margin_text(result)};
}

PlanAnswer answer_to(const Assessment& assessment, report::SourceFile file) {
    PlanAnswer answer{
        .file = std::move(file), .title = assessment.plan->title, .verdict = assessment.verdict()};
    answer.metal = report::metal_headline(assessment);
    for (const PersonResult& person : assessment.people) {
        const CriterionResult* tightest = tightest_limit(person);
        answer.people.push_back({person.person->id, person.person->role, person.verdict,
                                 tightest ? std::optional(in_short(*tightest)) : std::nullopt});
    }
    return answer;
}

const EarlierPlan* EarlierAnswers::find(const std::string& path) const {
    const auto found = std::ranges::find_if(
        plans, [&](const EarlierPlan& plan) { return normal(plan.file) == normal(path); });
    return found == plans.end() ? nullptr : &*found;
}

PlanChange change_of(const PlanAnswer& now, const EarlierPlan* before) {
    if (!before) return PlanChange::New;
    if (before->verdict != now.verdict) return PlanChange::Verdict;
    const auto margin = margin_of_tightest(now);
    if (margin.has_value() != before->margin.has_value()) return PlanChange::Margin;
    const bool differ =
        margin && std::abs((*margin - *before->margin).dB()) > least_change.dB() + 1e-9;
    return differ ? PlanChange::Margin : PlanChange::Same;
}

Verdict PlansReport::verdict() const {
    Verdict worst = plans.empty() ? Verdict::Unknown : Verdict::Within;
    for (const PlanAnswer& plan : plans)
        worst = std::max(worst, plan.verdict);
    return worst;
}

std::vector<EarlierPlan> PlansReport::gone() const {
    std::vector<EarlierPlan> all;
    if (!earlier) return all;
    for (const EarlierPlan& before : earlier->plans) {
        const bool is_here = std::ranges::any_of(plans, [&](const PlanAnswer& plan) {
            return normal(plan.file.path) == normal(before.file);
        });
        if (!is_here) all.push_back(before);
    }
    return all;
}

}  // namespace earbudget::overview
