#pragma once

#include <string>

#include "report/review_report.hpp"

namespace earbudget::report {

/// The reviews as one HTML file that needs nothing else: recommendations first, then card by card
/// conditions, levels and where they come from, peak limits, permitted times, what changed, what to
/// tick; then sources and cautions.
[[nodiscard]] std::string review_page(const ReviewReport& report);

}  // namespace earbudget::report
