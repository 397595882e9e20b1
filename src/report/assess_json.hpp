#pragma once

#include <optional>
#include <string>

#include "earbudget/limits/assessment.hpp"
#include "report/compare_report.hpp"
#include "report/record.hpp"

namespace earbudget::report {

/// The assessment as JSON, one object, with a line break at its end. Levels that there are not
/// (no sound) are null.
[[nodiscard]] std::string assess_json(const Assessment& assessment, const SourceFile& plan_file,
                                      const Record& record,
                                      const std::optional<Earlier>& earlier = std::nullopt);

}  // namespace earbudget::report
