#include "earbudget/day/choose_method.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace earbudget {

namespace {

/// The order of "best" for what is worn.
std::vector<Method> order_for(const AttenuationData& worn) {
    std::vector<Method> order;
    for (const bool computed : {false, true}) {
        for (const Method method : methods_best_first) {
            if (needs_computed_rating(method, worn) == computed) order.push_back(method);
        }
    }
    return order;
}

/// What to enter where nothing reaches a sound: what SNR lacks, which asks for least, else the best
/// method that a card could make possible, else what a catalogue could.
Unavailable nothing_reaches(const std::vector<Method>& order, const SoundLevels& sound,
                            const AttenuationData& worn) {
    std::optional<Unavailable> of_sound;
    for (const Method method : order) {
        auto obstacle = find_obstacle(method, sound, worn, {});
        if (!obstacle || obstacle->cause != Unavailable::Cause::Sound) continue;
        if (!of_sound || method == Method::Snr) of_sound = std::move(obstacle);
    }
    if (of_sound) return *std::move(of_sound);
    return {Unavailable::Cause::Protector,
            "has no rating that any method can use; accepted: SNR, H, M and L, NRR, or frequency, "
            "mean and sd"};
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

}  // namespace earbudget
