#pragma once

#include "earbudget/day/hearing_day.hpp"

namespace earbudget {

/// Adds to a day's warnings what was computed otherwise than its reader may expect: time without
/// sound, a background that counts unreduced, bands left out, reductions raised to zero.
void warn_of_day(const Plan& plan, const Person& person, HearingDay& day);

}  // namespace earbudget
