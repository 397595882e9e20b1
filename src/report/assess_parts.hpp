#pragma once

#include "earbudget/limits/assessment.hpp"
#include "report/document.hpp"

namespace earbudget::report {

/// One person's limits: what comes to each, what is permitted, the margin, how probably it is over.
[[nodiscard]] Table limits_table(const PersonResult& person);

}  // namespace earbudget::report
