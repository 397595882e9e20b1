#pragma once

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// Everyone's exposure over the plan, against each criterion, with verdict and advice.
/// Throws InputError where the data do not allow what the policy asks for (see hear).
[[nodiscard]] Assessment assess(const Plan& plan, Tracing tracing = Tracing::Off);

}  // namespace earbudget
