#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace earbudget::files {

/// The nearest of some names to one that is not among them; none when nothing is near.
[[nodiscard]] std::optional<std::string> nearest_name(std::string_view name,
                                                      const std::vector<std::string>& names);

}  // namespace earbudget::files
