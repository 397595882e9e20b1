#pragma once

#include <vector>

#include "earbudget/study/plan.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// Reads the [[person]] tables of a plan whose catalogue, positions and timeline are already there.
/// `facility` is the policy that each may override.
[[nodiscard]] std::vector<Person> read_people(TableReader& plan_table, const Plan& plan,
                                              const Policy& facility,
                                              const std::vector<Criterion>& own_criteria);

}  // namespace earbudget::files
