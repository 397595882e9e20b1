#pragma once

#include <string>
#include <string_view>

namespace earbudget::files {

/// What is wrong with a value as it stands behind "=", and what is accepted; `value` is without the
/// blanks around it and without a comment.
[[nodiscard]] std::string toml_value_mistake(std::string_view value);

/// A text of the user's as messages quote it, shortened where it is long.
[[nodiscard]] std::string excerpt(std::string_view text);

}  // namespace earbudget::files
