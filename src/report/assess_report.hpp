#pragma once

#include <optional>

#include "earbudget/advice/hand_out.hpp"
#include "earbudget/study/plan.hpp"
#include "report/compare_report.hpp"
#include "report/document.hpp"

namespace earbudget::report {

/// The assessment to be read: the verdict first, then what changed where it is compared, then
/// person by person why, what to do, figures, drawings and working. Points into all of them.
[[nodiscard]] Document assess_document(const Assessment& assessment, const SourceFile& file,
                                       const Record& record,
                                       const std::optional<Earlier>& earlier = std::nullopt);

/// Paper for the operator at the scanner, to be read at arm's length: what is handed out to whom
/// and what else fits, when to stop, whom to call, how it is seated and checked, the runs in order
/// with what each uses of the day's allowance, lines to write on. Nothing is left out: what does
/// not fit on one sheet goes on on the next.
[[nodiscard]] Document sheet_document(const Assessment& assessment, const HandOuts& outs,
                                      const SourceFile& file, const std::optional<Contact>& contact,
                                      const Record& record);

}  // namespace earbudget::report
