#pragma once

#include <string>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/limits/assessment.hpp"
#include "report/html/page.hpp"

namespace earbudget::report::html {

/// The section of one person, or of several alike, whose ids those are: verdict, why, what to do,
/// figures, drawings, working.
[[nodiscard]] std::string person_section(const std::string& id, const Plan& plan,
                                         const PersonResult& result,
                                         const std::vector<std::string>& ids, const PageHead& head,
                                         const Working& working);

}  // namespace earbudget::report::html
