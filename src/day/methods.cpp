#include "earbudget/day/methods.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "day/levels_by_method.hpp"
#include "day/traced_day.hpp"
#include "earbudget/acoustics/step_phrases.hpp"

namespace earbudget {

namespace {

using MethodsInOrder = std::remove_const_t<decltype(methods_best_first)>;

/// The order of "best" for what is worn.
MethodsInOrder order_for(const AttenuationData& worn) {
    MethodsInOrder order{};
    std::size_t n = 0;
    for (const bool computed : {false, true}) {
        for (const Method method : methods_best_first) {
            if (method_rows[method].must_compute(worn) == computed) order[n++] = method;
        }
    }
    return order;
}

/// What to enter where nothing reaches a sound: what SNR lacks, which asks for least, else the best
/// method that a card could make possible, else what a catalogue could.
Unavailable nothing_reaches(const MethodsInOrder& order, const SoundLevels& sound,
                            const AttenuationData& worn) {
    std::optional<Unavailable> of_sound;
    for (const Method method : order) {
        auto obstacle = find_obstacle(method, sound, worn, {});
        if (!obstacle || obstacle->cause != Unavailable::Cause::Sound) continue;
        if (!of_sound || method == Method::Snr) of_sound = std::move(obstacle);
    }
    if (of_sound) return *std::move(of_sound);
    return {Unavailable::Cause::Protector, say<ObstaclePhrase::NoRatingAtAll>()};
}

}  // namespace

ChosenMethod choose_method(const SoundLevels& sound, const AttenuationData& worn,
                           const PredictionRules& rules) {
    if (rules.method) {
        auto obstacle = find_obstacle(*rules.method, sound, worn, rules);
        if (obstacle) return {std::nullopt, std::move(obstacle)};
        return {rules.method};
    }
    const auto order = order_for(worn);
    // The derating does not choose: it must then be defined for what the data allow.
    const auto reaches = [&](Method method) { return !find_obstacle(method, sound, worn, {}); };
    const auto best = std::ranges::find_if(order, reaches);
    if (best == order.end()) return {std::nullopt, nothing_reaches(order, sound, worn)};
    return {*best, find_obstacle(*best, sound, worn, rules)};
}

bool is_better(Method one, Method other, const AttenuationData& worn) {
    const auto order = order_for(worn);
    return std::ranges::find(order, one) < std::ranges::find(order, other);
}

Person asking_for(Method method, const Person& person) {
    const AskedOfPerson by_method = asked_of(person, method);
    Person asked = person;
    asked.policy.rules = by_method.rules;
    asked.PAR = by_method.PAR;
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
bool reaches(const ExposureDay& day) {
    const auto worn = [](const ExposureRow& row) { return row.with_protector && row.sound; };
    const bool sequences = std::ranges::any_of(
        day.rows, [&](const ExposureRow& row) { return row.sequence && worn(row); });
    bool any = false;
    for (const ExposureRow& row : day.rows) {
        if (!worn(row) || (sequences && !row.sequence)) continue;
        if (!row.prediction) return false;
        any = true;
    }
    return any;
}

/// The method of all that is heard with something worn, rests too; none where there are several, or
/// something counts unreduced.
std::optional<Method> single_method(const ExposureDay& day) {
    std::optional<Method> method;
    for (const ExposureRow& row : day.rows) {
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

/// The policy's method where the verdict is by it alone. Without a day, null, no publication
/// defines it with the policy's derating.
std::optional<Method> method_of_policy(const Person& person, const ExposureDay* day) {
    if (!day) return std::nullopt;
    const bool by_policy = person.policy.rules.method && reaches(*day);
    return by_policy ? day->method : single_method(*day);
}

/// How the levels by one method came about, where they do not stand there already, then LEX,8h.
Working working_of(const Plan& plan, const Person& person, const std::vector<std::string>& wears,
                   const Wearing& wearing, const MethodOutcome& outcome) {
    const Person asked = asking_for(outcome.method, person);
    Trace trace;
    const ExposureDay day =
        day_exposure(plan, asked, wears, wearing, outcome.of_policy ? nullptr : &trace);
    Working levels = trace.take();
    const auto method = name_of(outcome.method);
    const auto derating = name_of(outcome.derating);
    for (WorkingStep& step : levels)
        step.what = say<StepPhrase::ByMethod>(step.what, method, derating);
    levels.push_back(daily_exposure_step(plan, asked, day,
                                         say<StepPhrase::DailyExposureBy>(method, derating), {}));
    return levels;
}

}  // namespace

std::vector<MethodOutcome> method_spread(const Plan& plan, const Person& person,
                                         const std::vector<std::string>& wears,
                                         const Wearing& wearing, Trace* trace) {
    std::vector<MethodOutcome> outcomes;
    std::vector<Working> workings;
    if (wears.empty()) return outcomes;
    LevelsByMethod levels(plan, person, wears, wearing);
    const auto of_policy = method_of_policy(person, levels.by(asked_of(person)));
    for (const Method method : methods_best_first) {
        const AskedOfPerson asked = asked_of(person, method);
        // For some methods no publication says what the derating does to a pair.
        const ExposureDay* const day = levels.by(asked);
        if (!day || !reaches(*day)) continue;
        outcomes.push_back({.method = method,
                            .derating = asked.rules.derating.kind,
                            .of_policy = method == of_policy,
                            .at_ear_LEX_8h = daily_exposure_level(day->at_ear())});
        if (trace) workings.push_back(working_of(plan, person, wears, wearing, outcomes.back()));
    }
    for (std::size_t n = 0; n < workings.size(); ++n) {
        workings[n].back().of = keys_of_method(outcomes, n);
        trace->leave(std::move(workings[n]));
    }
    return outcomes;
}

}  // namespace earbudget
