#pragma once

#include <optional>
#include <string>

#include <nlohmann/json.hpp>

namespace earbudget::test {

/// The result of one step of a printed working, redone from the values printed with it by this
/// test's own arithmetic; none where its formula is not among those known here.
[[nodiscard]] std::optional<double> redone(const nlohmann::json& step);

}  // namespace earbudget::test
