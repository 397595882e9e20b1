#pragma once

#include <vector>

#include "earbudget/decision/assessment.hpp"

namespace earbudget {

/// What to wear instead, or in addition, from the catalogue; else how much reduction is missing.
void advise_protection(const Plan& plan, const HearingDay& day, const PersonResult& result,
                       bool over_a_peak, std::vector<Advice>& advice);

}  // namespace earbudget
