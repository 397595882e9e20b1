#pragma once

#include <optional>
#include <string>

#include "earbudget/limits/assessment.hpp"
#include "report/compare_report.hpp"
#include "report/record.hpp"

namespace earbudget::report {

/// The assessment as one HTML file that needs nothing else: verdict first, then what changed where
/// it is compared, then person by person why, what to do, figures, drawings and working, then
/// sources, record and cautions.
[[nodiscard]] std::string assess_page(const Assessment& assessment, const SourceFile& plan_file,
                                      const Record& record,
                                      const std::optional<Earlier>& earlier = std::nullopt);

}  // namespace earbudget::report
