#pragma once

#include <memory>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "earbudget/day/exposure_day.hpp"

namespace earbudget {

/// By which rules a person's protection is predicted, and a fit test that beats them.
struct AskedOfPerson {
    PredictionRules rules;
    std::optional<LevelDifference> PAR;
};

/// As the person's policy has it.
[[nodiscard]] AskedOfPerson asked_of(const Person& person);

/// As if the policy asked for this method (asking_for).
[[nodiscard]] AskedOfPerson asked_of(const Person& person, Method method);

/// What is worn, with a fit test of this person, and the rules that hold for it.
struct WornData {
    AttenuationData attenuation;
    PredictionRules rules;
};

/// None where nothing is worn.
[[nodiscard]] std::optional<WornData> what_is_worn(const Plan& plan, const Person& person,
                                                   const AskedOfPerson& asked,
                                                   const std::vector<std::string>& wears);

/// The rows that one set of protectors is worn during: that of a task which names its own, or that
/// of all others.
[[nodiscard]] std::vector<ExposureRow*> rows_of(ExposureDay& day, const Person& person,
                                                std::optional<std::size_t> task);

/// Counts a row at the ear as outside: nothing is worn.
void leave_bare(ExposureRow& row);

/// Counts a row through what is worn, by its prediction, if any.
void protect(ExposureRow& row, const Wearing& wearing);

/// The method of most of the energy outside; none where nothing is predicted.
[[nodiscard]] std::optional<Method> method_of_most(const ExposureDay& day,
                                                   const std::vector<ExposureRow*>& rows);

/// Protects rows, predicting each sound once: `predict` gives the prediction of a row's sound, or
/// null.
template <class Predict>
void protect_all(const std::vector<ExposureRow*>& rows, const Wearing& wearing, Predict predict) {
    std::unordered_map<const SoundLevels*, std::shared_ptr<const Prediction>> known;
    known.reserve(rows.size());
    for (ExposureRow* row : rows) {
        if (row->sound) {
            const auto [same, is_new] = known.try_emplace(row->sound.get());
            if (is_new) same->second = predict(*row);
            row->prediction = same->second;
        }
        protect(*row, wearing);
    }
}

}  // namespace earbudget
