#pragma once

#include "report/shape.hpp"

namespace earbudget::report {

// What the JSON of each command is, from the tables by which it is written.

[[nodiscard]] const ObjectShape& assess_shape();
[[nodiscard]] const ObjectShape& choose_shape();
[[nodiscard]] const ObjectShape& measure_shape();
[[nodiscard]] const ObjectShape& ratings_shape();
[[nodiscard]] const ObjectShape& review_shape();

}  // namespace earbudget::report
