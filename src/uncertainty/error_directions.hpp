#pragma once

#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

/// Sets ErrorVariable::direction of all variables by what they are and by the largest size that a
/// segment has of them.
void set_directions(DayErrors& errors);

}  // namespace earbudget
