#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/decision/heard_row.hpp"
#include "earbudget/study/plan.hpp"

namespace earbudget {

/// The method by which everything that a person hears is predicted: that of `rules`, or for "best"
/// the first for which every sequence and what is worn have the data. None where no sequence is
/// heard and the background allows no method.
///
/// Throws InputError where the method, or its derating, cannot be used: at the card, the catalogue
/// entry or the policy, with what is accepted.
[[nodiscard]] std::optional<Method> choose_method(const Plan& plan, const Person& person,
                                                  const PredictionRules& rules,
                                                  const std::vector<std::string>& wears,
                                                  const std::vector<HeardRow*>& rows,
                                                  const AttenuationData& worn);

}  // namespace earbudget
