#pragma once

#include <string>
#include <vector>

#include "cli/commands.hpp"
#include "earbudget/review/review.hpp"

namespace earbudget::cli {

/// By what is reviewed, as the options say, without the catalogue. Throws UsageProblem for what is
/// not accepted.
[[nodiscard]] ReviewTerms review_terms(const ReviewOptions& options);

// What its options accept.
[[nodiscard]] std::vector<std::string> role_names();
[[nodiscard]] std::vector<std::string> whom_names();  ///< of --for
[[nodiscard]] std::vector<std::string> method_names();
[[nodiscard]] std::vector<std::string> derating_names();  ///< without a deduction in dB
[[nodiscard]] std::vector<std::string> published_ids();

}  // namespace earbudget::cli
