#pragma once

#include <vector>

#include "earbudget/decision/assessment.hpp"
#include "earbudget/decision/candidates.hpp"

namespace earbudget {

/// What a person can do about the verdict, smallest change first: nothing where all is well.
/// `result` must hold everything but the advice; `candidates` are those of the person.
[[nodiscard]] std::vector<Advice> advise(const Plan& plan, const HearingDay& day,
                                         const PersonResult& result,
                                         const std::vector<Candidate>& candidates);

}  // namespace earbudget
