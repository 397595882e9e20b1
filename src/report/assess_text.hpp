#pragma once

#include <optional>
#include <string>

#include "earbudget/limits/assessment.hpp"
#include "report/compare_report.hpp"
#include "report/record.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

/// The assessment for a terminal: verdict first, then what changed where it is compared, then why,
/// what to do, and the figures.
[[nodiscard]] std::string assess_text(const Assessment& assessment, const SourceFile& plan_file,
                                      const Record& record, const TextStyle& style,
                                      const std::optional<Earlier>& earlier = std::nullopt);

}  // namespace earbudget::report
