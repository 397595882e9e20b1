#pragma once

#include <string>
#include <vector>

#include "cli/options.hpp"
#include "earbudget/study/plan.hpp"
#include "report/working.hpp"

namespace earbudget::cli {

/// What --working-for of a command asks for, among the people, criteria and sequences of a plan.
/// Throws UsageProblem for an id that is none of them.
[[nodiscard]] report::WorkingFor working_for(const std::string& command,
                                             const OutputOptions& output, const Plan& plan);

/// The same of a review: among sequences and criteria.
[[nodiscard]] report::WorkingFor working_for_review(const OutputOptions& output,
                                                    const std::vector<std::string>& sequences,
                                                    const std::vector<Criterion>& criteria);

}  // namespace earbudget::cli
