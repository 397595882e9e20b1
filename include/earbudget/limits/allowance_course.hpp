#pragma once

#include <optional>

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// The day that a result was made from, without its warnings.
[[nodiscard]] ExposureDay day_of(const PersonResult& result);

/// How a person's day uses each exposure limit. It ends at the value of judge_exposure and reaches
/// a limit exactly where that is over. Peaks are left out, since they do not add up.
[[nodiscard]] DayCourse allowance_course(const PersonResult& result);

}  // namespace earbudget
