#pragma once

#include <string>

#include "report/compare_report.hpp"

namespace earbudget::report::html {

/// What changed from an earlier version of the plan, person by person.
[[nodiscard]] std::string compare_section(const Earlier& earlier);

}  // namespace earbudget::report::html
