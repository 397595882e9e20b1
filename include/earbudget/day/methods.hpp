#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/day/exposure_day.hpp"
#include "earbudget/protection/predict.hpp"

namespace earbudget {

/// By what one sound is predicted under what is worn.
struct ChosenMethod {
    std::optional<Method> method = std::nullopt;  ///< none: no method reaches it
    /// Why not; or, where a method was found that no publication defines with the derating, that.
    std::optional<Unavailable> obstacle = std::nullopt;
};

/// The method of `rules`; for "best" the first of methods_best_first for which this sound and what
/// is worn have the data, ratings stated on a label before those that must be computed from octave
/// data. Each sound is looked at by itself, so that what one lacks lowers no other.
[[nodiscard]] ChosenMethod choose_method(const SoundLevels& sound, const AttenuationData& worn,
                                         const PredictionRules& rules);

/// Whether "best" prefers one method to another for what is worn.
[[nodiscard]] bool is_better(Method one, Method other, const AttenuationData& worn);

/// A person's day as one published method has it.
struct MethodOutcome {
    Method method;
    Derating::Kind derating;  ///< none where no publication defines the policy's for this method
    bool of_policy = false;   ///< the verdict is by it alone
    std::optional<LevelA> at_ear_LEX_8h = std::nullopt;
};

/// How far the methods lie apart.
struct MethodSpread {
    std::optional<LevelA> lowest, highest;
    std::optional<LevelA> of_policy;
};

[[nodiscard]] MethodSpread spread_of(const std::vector<MethodOutcome>& methods);

/// The person as if the policy asked for this method and there were no fit test, unless it is the
/// fit test that is asked about.
[[nodiscard]] Person asking_for(Method method, const Person& person);

/// What all methods say that the data allow, in the order of `methods_best_first`: published
/// methods differ by ten decibels and more for one plug. Each with the policy's derating where a
/// publication defines it, else with none. A method is there only where it reaches every sequence
/// that is heard with something worn. Empty where nothing is worn.
[[nodiscard]] std::vector<MethodOutcome> method_spread(const Plan& plan, const Person& person,
                                                       const std::vector<std::string>& wears,
                                                       const Wearing& wearing,
                                                       Trace* trace = nullptr);

}  // namespace earbudget
