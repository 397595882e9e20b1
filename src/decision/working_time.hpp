#pragma once

#include <optional>
#include <string>
#include <vector>

#include "decision/working_steps.hpp"
#include "earbudget/decision/day_budget.hpp"

namespace earbudget {

/// Times of some rows: those that stay, and the part that each has of the time asked for.
struct Varying {
    std::vector<Seconds> fixed;
    std::vector<double> part;
};

[[nodiscard]] Varying one_row(const HearingDay& day, std::size_t row);

/// All rows with a sequence, each with its part of their time.
[[nodiscard]] Varying all_sequences(const HearingDay& day);

/// In one session.
[[nodiscard]] Seconds time_of_sequences(const HearingDay& day);

/// What each limit leaves: its lines as rows of a step.
void add_lines(const DayBudget& budget, const Varying& varying, const char* rate, StepOf& step);

/// A step about a longest time, with the formula that holds for the day.
[[nodiscard]] StepOf start_longest(const Person& person, const HearingDay& day, std::string what,
                                   std::vector<std::string> of);

/// The longest time of a row or of all sequences, every level raised by `deviations`.
[[nodiscard]] WorkingStep longest_step(const Person& person, const HearingDay& day,
                                       const Varying& varying, Seconds most,
                                       const std::optional<Seconds>& result, double deviations,
                                       StepOf step);

/// How many more runs of each row fit.
void work_out_repeats(const Plan& plan, const PersonResult& result, const HearingDay& day,
                      Working& working);

}  // namespace earbudget
