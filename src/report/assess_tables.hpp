#pragma once

#include <string>

#include "earbudget/limits/assessment.hpp"

namespace earbudget::report {

/// What is heard during a row: sequence or task, position, door.
[[nodiscard]] std::string segment_name(const Plan& plan, const Person& person, const HeardRow& row);

/// One line a limit: value, limit, margin, probability of being over, what 95 % of people stay
/// below, where it looks.
[[nodiscard]] std::string criteria_table(const PersonResult& person);

/// One line a timeline row or task: time, outside, reduction, at the ear, share.
[[nodiscard]] std::string segment_table(const Plan& plan, const PersonResult& person);

}  // namespace earbudget::report
