#pragma once

#include <vector>

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// That what does not seat is not offered again; what the protector already worn would do if it
/// were worn all the time.
void advise_better_wearing(const Plan& plan, const PersonResult& result,
                           std::vector<Advice>& advice);

/// Whatever is worn near the magnet and holds metal stays outside; before all that is about
/// hearing.
void advise_against_metal(const Plan& plan, const Person& person, std::vector<Advice>& advice);

/// A check of the fit, where a poor one would turn the verdict.
void advise_fit_check(const Plan& plan, const PersonResult& result, std::vector<Advice>& advice);

/// Less protection or a louder intercom, where spoken instructions would be missed: by the
/// intercom's level, else, where the plan says that speech must be heard, by the level at the ear.
void advise_on_speech(const HearingDay& day, const PersonResult& result,
                      std::vector<Advice>& advice);

}  // namespace earbudget
