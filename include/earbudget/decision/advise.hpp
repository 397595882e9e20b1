#pragma once

#include <vector>

#include "earbudget/decision/assessment.hpp"

namespace earbudget {

/// What a person can do about the verdict, smallest change first: nothing where all is well.
/// `result` must hold everything but the advice.
[[nodiscard]] std::vector<Advice> advise(const Plan& plan, const HearingDay& day,
                                         const PersonResult& result);

}  // namespace earbudget
