#pragma once

#include <vector>

#include "earbudget/decision/assessment.hpp"

namespace earbudget {

/// The levels at the ear between which protection is neither too little nor more than useful:
/// below 70 dB(A) speech and warnings are lost (EN 458, memory).
inline constexpr LevelA least_useful_level_at_ear{70.0};

/// What a person can do about the verdict, smallest change first: nothing where all is well.
/// `result` must hold everything but the advice.
[[nodiscard]] std::vector<Advice> advise(const Plan& plan, const HearingDay& day,
                                         const PersonResult& result);

}  // namespace earbudget
