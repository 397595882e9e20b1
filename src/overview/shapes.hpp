#pragma once

#include "report/shape.hpp"

namespace earbudget::report {

// What the JSON of the overviews may be, for its schemas.

[[nodiscard]] const ObjectShape& plans_shape();
[[nodiscard]] const ObjectShape& study_shape();

}  // namespace earbudget::report
