#include <algorithm>

#include <fmt/format.h>

#include "earbudget/limits/judge.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"

namespace earbudget::report {

namespace {

const CriterionResult* tightest_by_first_order(const PersonResult& person) {
    std::vector<const CriterionResult*> limits;
    for (const CriterionResult& result : person.criteria)
        if (result.first_order && result.margin) limits.push_back(&result);
    return tightest_of(limits);
}

std::string parts_text(const FirstOrder& first_order) {
    const std::string parts = joined(first_order.parts, ", ", [](const ErrorShare& part) {
        return fmt::format("{} {:.1f} dB", name_of(part.kind), part.standard.dB());
    });
    return parts.empty() ? "" : ": " + parts;
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

/// Whom a method's figure is for.
PeopleServed people_of(Method method, const PredictionRules& rules) {
    const MethodRow& row = method_rows[method];
    if (!row.follows_performance()) return row.people;
    return {rules.performance.percent(), "mean − α·sd"};
}

std::string words_of(const PeopleServed& people) {
    const std::string attenuation =
        people.attenuation.empty() ? "" : fmt::format(" ({})", people.attenuation);
    return fmt::format("{:g} % of people get more{}", people.percent, attenuation);
}

/// Whom the figure of a limit at the ear is for, by the methods of all rows.
std::string people_of_figure(const PersonResult& person, const CriterionResult& result) {
    std::vector<std::string> people;
    bool derated = false;
    for (const SegmentResult& segment : person.segments) {
        const auto& prediction = segment.row.prediction;
        if (!result.at_ear || !prediction) continue;
        derated = derated || prediction->derating.kind != Derating::Kind::None;
        const auto served = people_of(prediction->method, person.person->policy.rules);
        if (served.percent != 0.0) add_once(words_of(served), people);
    }
    std::string text;
    if (!people.empty()) {
        text = fmt::format("{} is for people whom the protector helps little, {}",
                           value_text(result), fmt::join(people, ", or "));
    }
    text = joined({text, derated ? "a derating is taken off" : ""}, ", and ");
    return text.empty() ? "errors of several levels do not add up evenly" : text;
}

/// Of something that is worn.
bool is_wearing_time_unstated(const Person& person) {
    return (!person.wears.empty() && person.worn_uncertainty == 0.0) ||
           std::ranges::any_of(person.tasks, [](const Task& task) {
               return task.wears && !task.wears->empty() && task.worn_uncertainty == 0.0;
           });
}

/// Errors that count as none, since nothing is stated of them.
std::string not_counted(const Plan& plan, const PersonResult& result) {
    const Person& person = *result.person;
    std::vector<std::string> names;
    if (wears_anything(person)) {
        if (!person.PAR_uncertainty && person.fit_uncertainty.dB() == 0.0) {
            names.emplace_back("fit from one insertion to the next");
        }
        if (is_wearing_time_unstated(person)) names.emplace_back("wearing time");
    }
    const bool at_a_position =
        std::ranges::any_of(result.segments, [&](const SegmentResult& segment) {
            const ExposureRow& row = segment.row;
            if (!row.position) return false;
            const bool open = row.task && person.tasks[*row.task].door_open;
            const Transmission& there = plan.positions[*row.position].with(open);
            // What was measured there comes by no difference.
            return !there.uncertainty && !(row.sequence && there.measured.contains(*row.sequence));
        });
    if (at_a_position) names.emplace_back("difference of the position");
    return names.empty() ? ""
                         : fmt::format("not stated, so not counted: {}", fmt::join(names, ", "));
}

/// Whether some draws are over by a level that no time is permitted for, while the dose is not.
bool is_over_by_ceiling(const CriterionResult& result) {
    return result.criterion->rule.ceiling && is_dose(result.criterion->quantity) &&
           !result.is_peak && result.not_exceeded && *result.not_exceeded <= result.limit &&
           result.probability_over.value_or(0.0) > 0.05;
}

}  // namespace

std::vector<std::string> uncertainty_sentences(const Plan& plan, const PersonResult& person) {
    std::vector<std::string> sentences;
    const CriterionResult* result = tightest_by_first_order(person);
    if (result && !disagrees(*result)) {
        sentences.push_back(fmt::format("uncertainty (k = 1) of {}, as a level, {:.1f} dB{}",
                                        result->criterion->id, result->first_order->standard.dB(),
                                        parts_text(*result->first_order)));
    }
    if (const std::string names = not_counted(plan, person); !names.empty()) {
        sentences.push_back(names);
    }
    for (const CriterionResult& criterion : person.criteria) {
        if (disagrees(criterion)) sentences.push_back(disagreement(criterion));
        if (is_over_by_ceiling(criterion)) {
            sentences.push_back(fmt::format(
                "{}: its probability is that of a level above {:g} dB(A), which is not permitted "
                "for any time",
                criterion.criterion->id, criterion.criterion->rule.ceiling->dB()));
        }
    }
    return sentences;
}

std::string why_apart(const PersonResult& person, const CriterionResult& result) {
    if (result.is_peak || !result.probability_over || !result.value) return "";
    constexpr double even = 0.5;
    const bool over = result.verdict == Verdict::Over;
    if (over == (*result.probability_over >= even)) return "";
    return fmt::format(
        "{} by the best estimate though {} by the draws: {}; P(over) and \"95 % within\" are "
        "of all people, with all errors",
        over ? "over" : "within", over ? "less likely than not" : "over more likely than not",
        people_of_figure(person, result));
}

}  // namespace earbudget::report
