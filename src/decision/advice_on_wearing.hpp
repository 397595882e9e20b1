#pragma once

#include <vector>

#include "earbudget/decision/assessment.hpp"

namespace earbudget {

/// What the protector already worn would do if it were seated well and worn all the time.
void advise_better_wearing(const Plan& plan, const PersonResult& result,
                           std::vector<Advice>& advice);

/// A check of the fit, where a poor one would turn the verdict.
void advise_fit_check(const Plan& plan, const PersonResult& result, std::vector<Advice>& advice);

/// Less protection, where speech must be heard and the level at the ear is below what is useful.
void advise_less_protection(const HearingDay& day, const PersonResult& result,
                            std::vector<Advice>& advice);

}  // namespace earbudget
