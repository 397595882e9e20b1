#pragma once

#include <optional>
#include <string>
#include <vector>

#include "day/traced_day.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/row_peak.hpp"
#include "earbudget/limits/shorten.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

/// Of a value searched in tenths of a decibel, without what binary fractions add.
[[nodiscard]] double in_tenths(LevelDifference difference);

/// Leaves limit, value, margin and probability of one exposure limit; `key` is where it stands
/// among the results: "criteria[0]", for what a ranking shows "worst", "worst by wearing" or, for
/// both, "worst of all", or empty. `mean` is what its
/// exposure by first order was made of, if it has one.
void leave_criterion(const Plan& plan, const Person& person, const ExposureDay& day,
                     const MeanDay& mean, const CriterionResult& result, const std::string& key,
                     Trace& trace);

/// Leaves the same of a limit on peaks: reductions, bounds, then the highest.
void leave_peak_criterion(const Plan& plan, const Person& person, const ExposureDay& day,
                          const std::vector<RowPeak>& peaks, const CriterionResult& result,
                          const std::string& key, Trace& trace);

/// Leaves what the protectors of a day take off at the mean of every error, and how that differs
/// between people: the octave bands behind it, for the first-order uncertainty of `criteria`.
void leave_mean_reductions(const Plan& plan, const Person& person, const ExposureDay& day,
                           const DayErrors& errors, const std::vector<CriterionResult>& criteria,
                           Trace& trace);

/// Leaves how sure the result of an exposure limit is; `of` is empty where it has no keys.
void leave_uncertainty(const Plan& plan, const Person& person, const ExposureDay& day,
                       const MeanDay& mean, const CriterionResult& result, const std::string& of,
                       Trace& trace);

/// What the draws give for the accepted probability.
[[nodiscard]] WorkingStep confident_step(const Plan& plan, const Person& person, Message what,
                                         std::vector<std::string> of, double result,
                                         std::string unit,
                                         const Formula& formula = formula_of_confident);

/// The probability of being over something, by draws.
[[nodiscard]] WorkingStep monte_carlo_step(const Plan& plan, Message what,
                                           std::vector<std::string> of, double probability,
                                           std::size_t draws);

/// Leaves how many more runs of each row fit; `longest` is from repeats_left.
void leave_repeats(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                   const std::vector<LongestTime>& longest, Trace& trace);

}  // namespace earbudget
