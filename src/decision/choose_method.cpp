#include "earbudget/decision/choose_method.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

namespace earbudget {

namespace {

// What stands in the way of a method on a sequence that is heard.
struct Obstacle {
    Unavailable what;
    const Sequence* sequence;
};

std::optional<Obstacle> obstacle_to(Method method, const Plan& plan,
                                    const std::vector<HeardRow*>& rows, const AttenuationData& worn,
                                    const PredictionRules& rules) {
    std::set<const SoundLevels*> seen;
    for (const HeardRow* row : rows) {
        if (!row->sequence || !seen.insert(row->sound.get()).second) continue;
        const Sequence& sequence = plan.sequences[*row->sequence];
        if (auto what = find_obstacle(method, *row->sound, worn, rules)) {
            return Obstacle{std::move(*what), &sequence};
        }
    }
    return std::nullopt;
}

InputError as_error(const Obstacle& obstacle, const Plan& plan, const Person& person,
                    const std::vector<std::string>& wears, Method method) {
    switch (obstacle.what.cause) {
        case Unavailable::Cause::Sound:
            return {obstacle.sequence->stated_at,
                    fmt::format("method {} cannot be used: sequence \"{}\" {}", name_of(method),
                                obstacle.sequence->id, obstacle.what.text)};
        case Unavailable::Cause::Protector: {
            const CatalogueEntry* entry = plan.catalogue.find(wears.front());
            return {entry->stated_at,
                    fmt::format("method {} cannot be used for {}: \"{}\" {}", name_of(method),
                                person.id, fmt::join(wears, "\" with \""), obstacle.what.text)};
        }
        case Unavailable::Cause::Combination:
            break;
    }
    return {person.policy.stated_at,
            fmt::format("{}{}",
                        person.policy.rules.method
                            ? ""
                            : fmt::format("method best is {} here; ", name_of(method)),
                        obstacle.what.text)};
}

// The first method for which the data are stated, else the first for which the ratings can be
// computed from octave data; the derating must then be defined for it.
std::optional<Method> best_method(const Plan& plan, const std::vector<HeardRow*>& rows,
                                  const AttenuationData& worn, PredictionRules rules) {
    rules.derating = {};
    for (const bool ratings_stated : {true, false}) {
        for (const Method method : methods_best_first) {
            const bool computed = needs_computed_rating(method, worn, rules) ||
                                  (method == Method::Snr && worn.SNR_from_octaves);
            if (ratings_stated && computed) continue;
            if (!obstacle_to(method, plan, rows, worn, rules)) return method;
        }
    }
    return std::nullopt;
}

// With no sequence to decide, the first method that the background allows, if any.
std::optional<Method> method_for_background(const std::vector<HeardRow*>& rows,
                                            const AttenuationData& worn,
                                            const PredictionRules& rules) {
    for (const Method method : methods_best_first) {
        const auto allows = [&](const HeardRow* row) {
            return row->sound && !find_obstacle(method, *row->sound, worn, rules);
        };
        if (std::any_of(rows.begin(), rows.end(), allows)) return method;
    }
    return std::nullopt;
}

InputError no_method(const Plan& plan, const Person& person,
                     const std::vector<std::string>& wears) {
    const CatalogueEntry* entry = plan.catalogue.find(wears.front());
    return {entry->stated_at,
            fmt::format("no method can be used for {}: \"{}\" and the sequence cards together lack "
                        "the data of every one; accepted: at least NRR here, or SNR here and LCeq "
                        "on the cards, or octave-band data on both",
                        person.id, fmt::join(wears, "\" with \""))};
}

}  // namespace

std::optional<Method> choose_method(const Plan& plan, const Person& person,
                                    const PredictionRules& rules,
                                    const std::vector<std::string>& wears,
                                    const std::vector<HeardRow*>& rows,
                                    const AttenuationData& worn) {
    const bool hears_sequences = std::any_of(
        rows.begin(), rows.end(), [](const HeardRow* row) { return row->sequence.has_value(); });
    if (!hears_sequences && !rules.method) return method_for_background(rows, worn, rules);
    const auto method = rules.method ? rules.method : best_method(plan, rows, worn, rules);
    if (!method) throw no_method(plan, person, wears);
    if (const auto obstacle = obstacle_to(*method, plan, rows, worn, rules)) {
        throw as_error(*obstacle, plan, person, wears, *method);
    }
    return method;
}

}  // namespace earbudget
