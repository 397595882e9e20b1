#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace earbudget::files {

/// A number that was written with a decimal comma, with a point in its place: "94.0" of "94,0";
/// none for anything else.
[[nodiscard]] std::optional<std::string> with_decimal_point(std::string_view number);

}  // namespace earbudget::files
