#pragma once

#include <vector>

#include "earbudget/day/hearing_day.hpp"
#include "earbudget/day/intercom.hpp"

namespace earbudget {

/// What was taken otherwise than a reader may expect in one person's day: what the day itself warns
/// of, the protection, the uncertainty, the length.
void warn_of_person(const Plan& plan, const Person& person, const HearingDay& day,
                    std::vector<Warning>& warnings);

/// Adds a warning where speech and residual noise could only be reduced by the sequences' average.
void warn_of_intercom(const Person& person, const std::optional<IntercomAtEar>& intercom,
                      std::vector<Warning>& warnings);

}  // namespace earbudget
