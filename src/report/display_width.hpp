#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace earbudget::report {

/// How many columns a text takes on a terminal, as visible_text: two for a character of East Asian
/// width, none for an accent of its own.
[[nodiscard]] std::size_t width_of(std::string_view text);

/// A text with blanks behind it, or before it, up to so many columns.
[[nodiscard]] std::string at_left(std::string_view text, std::size_t width);
[[nodiscard]] std::string at_right(std::string_view text, std::size_t width);

}  // namespace earbudget::report
