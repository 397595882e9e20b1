#pragma once

#include <vector>

#include "earbudget/limits/assessment.hpp"
#include "earbudget/uncertainty/drawn_day.hpp"

namespace earbudget {

/// Fewer sessions a day, and how many days then hold them; for one session too much, over how many
/// days to divide it.
void advise_fewer_sessions(const HearingDay& day, const DrawnDay& drawn, const PersonResult& result,
                           std::vector<Advice>& advice);

/// The loudest other position at which every limit is kept, for who has tasks.
void advise_position(const Plan& plan, const PersonResult& result, std::vector<Advice>& advice);

}  // namespace earbudget
