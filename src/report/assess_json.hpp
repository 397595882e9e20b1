#pragma once

#include <string>

#include "earbudget/decision/assessment.hpp"
#include "report/source_file.hpp"

namespace earbudget::report {

/// The assessment as JSON, one object, with a line break at its end. Levels that there are not
/// (no sound) are null.
[[nodiscard]] std::string assess_json(const Assessment& assessment, const SourceFile& plan_file);

}  // namespace earbudget::report
