#pragma once

#include <optional>
#include <string>

#include "earbudget/advice/hand_out.hpp"
#include "earbudget/study/contact.hpp"
#include "report/record.hpp"

namespace earbudget::report {

/// Paper for the operator at the scanner, to be read at arm's length: what is handed out to whom
/// and what else fits, when to stop, whom to call, how it is seated and checked, the runs in order
/// with what each uses of the day's allowance, lines to write on. Nothing is left out: what does
/// not fit on one sheet goes on on the next.
[[nodiscard]] std::string sheet_page(const Assessment& assessment, const HandOuts& outs,
                                     const SourceFile& plan_file,
                                     const std::optional<Contact>& contact, const Record& record);

}  // namespace earbudget::report
