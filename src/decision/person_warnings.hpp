#pragma once

#include <vector>

#include "earbudget/decision/hearing_day.hpp"

namespace earbudget {

/// What was taken otherwise than a reader may expect in one person's day: what the day itself warns
/// of, the protection, the uncertainty, the length.
void warn_of_person(const Plan& plan, const Person& person, const HearingDay& day,
                    std::vector<Warning>& warnings);

}  // namespace earbudget
