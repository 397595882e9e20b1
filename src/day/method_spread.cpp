#include "earbudget/day/method_spread.hpp"

#include <algorithm>

namespace earbudget {

Person asking_for(Method method, const Person& person) {
    Person asked = person;
    asked.policy.rules.method = method;
    if (!is_defined(asked.policy.rules.derating.kind, method)) asked.policy.rules.derating = {};
    if (method != Method::Par) asked.PAR.reset();
    return asked;
}

MethodSpread spread_of(const std::vector<MethodOutcome>& methods) {
    MethodSpread spread;
    for (const MethodOutcome& outcome : methods) {
        const auto& level = outcome.at_ear_LEX_8h;
        if (!level) continue;
        spread.lowest = spread.lowest ? std::min(*spread.lowest, *level) : level;
        spread.highest = spread.highest ? std::max(*spread.highest, *level) : level;
        if (outcome.of_policy) spread.of_policy = level;
    }
    return spread;
}

namespace {

/// Whether a method reaches every sequence that is heard with something worn, or all noise where no
/// sequence is.
bool reaches(const HearingDay& day) {
    const auto worn = [](const HeardRow& row) { return row.with_protector && row.sound; };
    const bool sequences = std::ranges::any_of(
        day.rows, [&](const HeardRow& row) { return row.sequence && worn(row); });
    bool any = false;
    for (const HeardRow& row : day.rows) {
        if (!worn(row) || (sequences && !row.sequence)) continue;
        if (!row.prediction) return false;
        any = true;
    }
    return any;
}

/// The method of all that is heard with something worn, rests too; none where there are several, or
/// something counts unreduced.
std::optional<Method> single_method(const HearingDay& day) {
    std::optional<Method> method;
    for (const HeardRow& row : day.rows) {
        if (!row.with_protector || !row.sound) continue;
        if (!row.prediction || (method && *method != row.prediction->method)) return std::nullopt;
        method = row.prediction->method;
    }
    return method;
}

}  // namespace

std::vector<MethodOutcome> method_spread(const Plan& plan, const Person& person,
                                         const std::vector<std::string>& wears,
                                         const Wearing& wearing) {
    std::vector<MethodOutcome> outcomes;
    if (wears.empty()) return outcomes;
    // Without a day no publication defines the policy's method with its derating.
    const auto as_asked = day_or_obstacle(plan, person, wears, wearing);
    std::optional<Method> of_policy;
    if (as_asked) {
        const bool by_policy = person.policy.rules.method && reaches(*as_asked);
        of_policy = by_policy ? as_asked->method : single_method(*as_asked);
    }
    for (const Method method : methods_best_first) {
        const Person asked = asking_for(method, person);
        // Nor for some methods what the derating does to a pair.
        const auto day = day_or_obstacle(plan, asked, wears, wearing);
        if (!day || !reaches(*day)) continue;
        outcomes.push_back({.method = method,
                            .derating = asked.policy.rules.derating.kind,
                            .of_policy = method == of_policy,
                            .at_ear_LEX_8h = daily_exposure_level(day->at_ear())});
    }
    return outcomes;
}

}  // namespace earbudget
