#pragma once

#include <optional>
#include <string>

#include "earbudget/decision/assessment.hpp"
#include "earbudget/study/contact.hpp"
#include "report/record.hpp"

namespace earbudget::report {

/// One sheet of paper for the operator at the scanner, to be read at arm's length: who wears what,
/// how it is seated and checked, the runs in order with what each uses of the day's allowance, when
/// to stop, whom to call. What does not fit is left out and said to be.
[[nodiscard]] std::string sheet_page(const Assessment& assessment, const SourceFile& plan_file,
                                     const std::optional<Contact>& contact, const Record& record);

}  // namespace earbudget::report
