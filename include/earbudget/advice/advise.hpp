#pragma once

#include <vector>

#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

/// What a person can do about the verdict, smallest change first: nothing where all is well.
/// `drawn` is of the same day; `result` must hold everything but the advice; `candidates` are those
/// of the person, and are told how many were looked at closely.
[[nodiscard]] std::vector<Advice> advise(const Plan& plan, const ExposureDay& day,
                                         const MonteCarloDay& drawn, const PersonResult& result,
                                         Candidates& candidates);

}  // namespace earbudget
