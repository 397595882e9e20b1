#pragma once

#include <string>
#include <string_view>

namespace earbudget {

/// A text of others as it may be printed, on a terminal or a page: right UTF-8 in which every
/// character is seen. A control character of ASCII and a byte that is no UTF-8 become \x1b, any
/// other that is not seen (is_unseen) \u{202e}; joiners stay between characters of scripts that
/// need them and between pictures, a selector of a form behind what has forms. Own rule. Applied
/// again it changes nothing.
[[nodiscard]] std::string visible_text(std::string_view text);

/// The same of several lines: line feeds stay.
[[nodiscard]] std::string visible_lines(std::string_view text);

}  // namespace earbudget
