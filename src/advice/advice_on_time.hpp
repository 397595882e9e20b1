#pragma once

#include <vector>

#include "earbudget/limits/assessment.hpp"
#include "earbudget/uncertainty/drawn_day.hpp"

namespace earbudget {

/// The longest time of the row with the largest share, or of all sequences in proportion.
void advise_shortening(const Plan& plan, const HearingDay& day, const DrawnDay& drawn,
                       const PersonResult& result, std::vector<Advice>& advice);

}  // namespace earbudget
