#pragma once

#include "earbudget/study/plan.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// The keys of [[person.task]].
extern const std::vector<std::string> task_keys;

/// Reads one task; sequences, positions and protectors must be in the plan.
[[nodiscard]] Task read_task(TableReader& table, const Plan& plan);

}  // namespace earbudget::files
