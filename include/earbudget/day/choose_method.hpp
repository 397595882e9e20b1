#pragma once

#include <optional>

#include "earbudget/acoustics/sound_levels.hpp"
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

}  // namespace earbudget
