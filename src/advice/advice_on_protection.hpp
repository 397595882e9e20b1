#pragma once

#include <vector>

#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/uncertainty/drawn_day.hpp"

namespace earbudget {

/// What to wear instead, or in addition, from the catalogue.
void advise_protection(const Plan& plan, const HearingDay& day, const PersonResult& result,
                       Candidates& candidates, bool over_a_peak, std::vector<Advice>& advice);

/// How much more reduction than now would keep every limit, for who is over one, and whether
/// anything else that was tried does.
void advise_reduction(const HearingDay& day, const DrawnDay& drawn, const PersonResult& result,
                      const Candidates& candidates, std::vector<Advice>& advice);

}  // namespace earbudget
