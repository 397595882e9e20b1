#pragma once

#include <string>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "report/record.hpp"

namespace earbudget::report {

/// The ranking as one HTML file that needs nothing else: what to hand out first, then person by
/// person the ranking with reasons, how far methods lie apart, working, sources, cautions.
[[nodiscard]] std::string choose_page(const Plan& plan, const std::vector<PersonChoice>& choices,
                                      const Record& record);

}  // namespace earbudget::report
