#pragma once

#include <string>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "report/record.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

/// The ranking for each person as JSON, with a line break at the end.
[[nodiscard]] std::string choose_json(const Plan& plan, const std::vector<PersonChoice>& choices,
                                      const Record& record);

/// The same for a terminal, the best first.
[[nodiscard]] std::string choose_text(const Plan& plan, const std::vector<PersonChoice>& choices,
                                      const Record& record, const TextStyle& style);

}  // namespace earbudget::report
