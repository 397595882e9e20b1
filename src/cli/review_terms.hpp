#pragma once

#include "cli/options.hpp"
#include "earbudget/decision/review.hpp"

namespace earbudget::cli {

/// By what is reviewed, as the options say, without the catalogue. Throws UsageProblem for what is
/// not accepted.
[[nodiscard]] ReviewTerms review_terms(const ReviewOptions& options);

}  // namespace earbudget::cli
