#pragma once

#include <string>
#include <vector>

#include "earbudget/limits/assessment.hpp"

namespace earbudget::report {

/// How sure a person's verdict is: the standard uncertainty of the tightest exposure by its parts,
/// largest first, and what must be known to read the probabilities.
[[nodiscard]] std::vector<std::string> uncertainty_sentences(const Plan& plan,
                                                             const PersonResult& result);

/// Why best estimate and probability of one limit point in opposite directions, and whose the
/// probability is; empty where they do not.
[[nodiscard]] std::string why_apart(const PersonResult& person, const CriterionResult& result);

}  // namespace earbudget::report
