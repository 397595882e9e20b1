#pragma once

#include <string>
#include <vector>

#include "report/measure_report.hpp"

namespace earbudget::report {

/// LAeq of each second as comma-separated values (RFC 4180), one line a second of each channel:
/// file, channel, start in the recording and duration in seconds, LAeq in dB. The last line of a
/// channel may be shorter than a second; a level that there is not stays empty.
[[nodiscard]] std::string measure_history(const std::vector<RecordingReport>& recordings);

}  // namespace earbudget::report
