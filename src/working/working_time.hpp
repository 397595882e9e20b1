#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "earbudget/uncertainty/variable_times.hpp"
#include "working/working_steps.hpp"

namespace earbudget {

/// What each limit leaves: its lines as rows of a step.
void add_lines(const DayBudget& budget, const VariableTimes& varying, const char* rate,
               StepOf& step);

/// A step about a longest time, with the formula that holds for the day.
[[nodiscard]] StepOf start_longest(const Person& person, const HearingDay& day, std::string what,
                                   std::vector<std::string> of);

/// The longest time of a row or of all sequences by the best estimate.
[[nodiscard]] WorkingStep longest_step(const Person& person, const HearingDay& day,
                                       const VariableTimes& varying, Seconds most,
                                       const std::optional<Seconds>& result, StepOf step);

/// How many more runs of each row fit.
void work_out_repeats(const Plan& plan, const PersonResult& result, const HearingDay& day,
                      Working& working);

}  // namespace earbudget
