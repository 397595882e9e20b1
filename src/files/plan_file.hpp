#pragma once

#include <string>

#include "earbudget/study/plan.hpp"

namespace earbudget::files {

/// Reads a plan, kind = "plan", with the cards and the catalogue it names, relative to it.
/// Every id in the result is known, the timeline is not empty and there is at least one person.
/// Throws InputError.
[[nodiscard]] Plan read_plan(const std::string& path);

}  // namespace earbudget::files
