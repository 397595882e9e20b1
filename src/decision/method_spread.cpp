#include "earbudget/decision/method_spread.hpp"

#include <algorithm>

#include "earbudget/study/input_error.hpp"

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

std::vector<MethodOutcome> method_spread(const Plan& plan, const Person& person,
                                         const std::vector<std::string>& wears,
                                         const Wearing& wearing) {
    std::vector<MethodOutcome> outcomes;
    if (wears.empty()) return outcomes;
    std::optional<Method> of_policy;
    try {
        of_policy = hear(plan, person, wears, wearing).method;
    } catch (const InputError&) {
        // The policy's method lacks data: the others may have theirs.
    }
    for (const Method method : methods_best_first) {
        const Person asked = asking_for(method, person);
        try {
            const HearingDay day = hear(plan, asked, wears, wearing);
            outcomes.push_back({.method = method,
                                .derating = asked.policy.rules.derating.kind,
                                .of_policy = method == of_policy,
                                .at_ear_LEX_8h = daily_exposure_level(day.at_ear())});
        } catch (const InputError&) {
            continue;  // this method lacks data
        }
    }
    return outcomes;
}

}  // namespace earbudget
