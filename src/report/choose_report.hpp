#pragma once

#include <string>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "report/document.hpp"

namespace earbudget::report {

/// The ranking for each person as JSON, with a line break at the end.
[[nodiscard]] std::string choose_json(const Plan& plan, const std::vector<PersonChoice>& choices,
                                      const Record& record);

/// The same to be read: what to hand out first, then person by person the ranking with reasons, how
/// far methods lie apart, working. Points into all of them.
[[nodiscard]] Document choose_document(const Plan& plan, const std::vector<PersonChoice>& choices,
                                       const Record& record);

}  // namespace earbudget::report
