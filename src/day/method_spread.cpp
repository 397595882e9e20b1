#include "earbudget/day/method_spread.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "day/traced_day.hpp"
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

/// The keys of what one of the methods says.
std::vector<std::string> keys_of_method(const std::vector<MethodOutcome>& methods, std::size_t n) {
    const MethodSpread spread = spread_of(methods);
    const auto& level = methods[n].at_ear_LEX_8h;
    std::vector<std::string> keys{key_of("methods.each", n, "at_ear_LEX_8h_dB")};
    if (!level) return keys;
    // Two methods may agree: the first one says it.
    const auto is_first_with = [&](const std::optional<LevelA>& extreme) {
        const auto first = std::ranges::find(methods, extreme, &MethodOutcome::at_ear_LEX_8h);
        return static_cast<std::size_t>(first - methods.begin()) == n;
    };
    if (is_first_with(spread.lowest)) keys.emplace_back("methods.lowest_at_ear_LEX_8h_dB");
    if (is_first_with(spread.highest)) keys.emplace_back("methods.highest_at_ear_LEX_8h_dB");
    if (methods[n].of_policy) keys.emplace_back("methods.policy_at_ear_LEX_8h_dB");
    return keys;
}

/// How the levels by one method came about, then LEX,8h.
Working working_of(const Plan& plan, const Person& person, const HearingDay& day,
                   const MethodOutcome& outcome, Working levels) {
    const std::string by =
        fmt::format("by {}, derating {}", name_of(outcome.method), name_of(outcome.derating));
    for (WorkingStep& step : levels)
        step.what += ", " + by;
    levels.push_back(daily_exposure_step(plan, person, day, "LEX,8h at the ear " + by, {}));
    return levels;
}

}  // namespace

std::vector<MethodOutcome> method_spread(const Plan& plan, const Person& person,
                                         const std::vector<std::string>& wears,
                                         const Wearing& wearing, Trace* trace) {
    std::vector<MethodOutcome> outcomes;
    std::vector<Working> workings;
    if (wears.empty()) return outcomes;
    std::optional<Method> of_policy;
    try {
        const HearingDay day = hear(plan, person, wears, wearing);
        of_policy = person.policy.rules.method && reaches(day) ? day.method : single_method(day);
    } catch (const InputError&) {
        // No publication defines the policy's method with its derating.
    }
    for (const Method method : methods_best_first) {
        const Person asked = asking_for(method, person);
        // How the verdict's own method came by its levels stands there already.
        Trace levels;
        Trace* const wanted = trace && method != of_policy ? &levels : nullptr;
        try {
            const HearingDay day = hear(plan, asked, wears, wearing, wanted);
            if (!reaches(day)) continue;
            outcomes.push_back({.method = method,
                                .derating = asked.policy.rules.derating.kind,
                                .of_policy = method == of_policy,
                                .at_ear_LEX_8h = daily_exposure_level(day.at_ear())});
            if (trace)
                workings.push_back(working_of(plan, asked, day, outcomes.back(), levels.take()));
        } catch (const InputError&) {
            continue;  // no publication says what the derating does to a pair
        }
    }
    for (std::size_t n = 0; n < workings.size(); ++n) {
        workings[n].back().of = keys_of_method(outcomes, n);
        trace->leave(std::move(workings[n]));
    }
    return outcomes;
}

}  // namespace earbudget
