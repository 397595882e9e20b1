#pragma once

#include <string>
#include <vector>

#include "earbudget/decision/assessment.hpp"

namespace earbudget::report {

/// How sure a person's verdict is: the standard uncertainty of the tightest exposure by its parts,
/// largest first, and what must be known to read the probabilities.
[[nodiscard]] std::vector<std::string> uncertainty_sentences(const Plan& plan,
                                                             const PersonResult& result);

}  // namespace earbudget::report
