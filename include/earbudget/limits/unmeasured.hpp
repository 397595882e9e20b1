#pragma once

#include <vector>

#include "earbudget/day/exposure_day.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/study/plan.hpp"

namespace earbudget {

/// The sequences that a person hears in a day by levels that were guessed, declared or predicted
/// (may_be_within), at their position where they were measured there: a RemarkPhrase each, once.
[[nodiscard]] std::vector<Message> unmeasured_in(const Plan& plan, const Person& person,
                                                 const ExposureDay& day);

/// What of a person's day with `wears` stands in files that say that their figures are examples
/// (Plan::examples): levels that unmeasured_in does not tell of, positions, the background, what is worn, the plan itself; a
/// RemarkPhrase each, once.
[[nodiscard]] std::vector<Message> examples_in(const Plan& plan, const Person& person,
                                               const std::vector<std::string>& wears,
                                               const ExposureDay& day);

/// A verdict with such levels in the day: within becomes close, whatever the probability (own rule:
/// the error of such levels is nobody's measurement either). Tells whether it did.
[[nodiscard]] bool limit_by_origin(const std::vector<Message>& unmeasured, Verdict& verdict);

/// The same of a result by one limit, with a remark on what to measure where it is not over.
void limit_by_origin(const std::vector<Message>& unmeasured, CriterionResult& result);

/// The recording that such levels wait for.
[[nodiscard]] Message recording_to_make();

}  // namespace earbudget
