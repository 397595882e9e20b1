#pragma once

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// Everyone's exposure over the plan, against each criterion, with verdict and advice.
/// Throws the Obstacle where the data do not allow what the policy asks for (see hear). Without
/// `with_courses` no course and no spectrum, which long days have many points of and text does not
/// show.
[[nodiscard]] Assessment assess(const Plan& plan, Tracing tracing = Tracing::Off,
                                bool with_courses = true);

}  // namespace earbudget
