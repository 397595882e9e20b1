#pragma once

#include <vector>

#include <nlohmann/json.hpp>

#include "earbudget/day/methods.hpp"

namespace earbudget::report {

/// What every method says of one day: each, and the lowest, the highest and the policy's.
[[nodiscard]] nlohmann::ordered_json methods_json(const std::vector<MethodOutcome>& methods);

}  // namespace earbudget::report
