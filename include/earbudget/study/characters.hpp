#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace earbudget {

/// The characters of a text in UTF-8 (RFC 3629); none where it is not right.
[[nodiscard]] std::optional<std::u32string> characters_of(std::string_view text);

}  // namespace earbudget
