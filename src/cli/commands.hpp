#pragma once

#include "cli/messages.hpp"
#include "cli/options.hpp"

namespace earbudget::cli {

/// Each runs one command and returns the exit status for a computed result. They throw InputError
/// for bad input and other exceptions for faults.
[[nodiscard]] ExitStatus run_measure(const MeasureOptions& options);
[[nodiscard]] ExitStatus run_assess(const AssessOptions& options);
[[nodiscard]] ExitStatus run_choose(const ChooseOptions& options);
[[nodiscard]] ExitStatus run_ratings(const RatingsOptions& options);
[[nodiscard]] ExitStatus run_review(const ReviewOptions& options);

}  // namespace earbudget::cli
