#pragma once

#include <string>
#include <vector>

#include "report/measure_report.hpp"

namespace earbudget::report {

/// Measured recordings as one HTML file that needs nothing else: the levels first, what is wrong
/// with a recording beside them, then the level history, bands, tones, working and cautions.
[[nodiscard]] std::string measure_page(const std::vector<RecordingReport>& recordings,
                                       const Record& record);

}  // namespace earbudget::report
