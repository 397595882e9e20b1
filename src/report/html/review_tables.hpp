#pragma once

#include <string>

#include "report/review_report.hpp"

namespace earbudget::report::html {

/// Levels and peaks, and the octave bands where there are any.
[[nodiscard]] std::string levels_tables(const Sequence& sequence);

/// One row a choice and estimate, one column a criterion.
[[nodiscard]] std::string permitted_times_table(const ReviewTerms& terms,
                                                const SequenceReview& review);

/// Each level before and now.
[[nodiscard]] std::string level_changes_table(const ReviewedCard& now, const ReviewedCard& before);

}  // namespace earbudget::report::html
