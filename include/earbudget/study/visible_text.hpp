#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace earbudget {

/// A character and how many bytes it has in UTF-8.
struct Character {
    char32_t code;
    std::size_t bytes;
};

/// How many characters of ASCII, from blank to tilde, a text begins with: each is seen as it is.
[[nodiscard]] std::size_t printable_ascii(std::string_view text);

/// The character that a text in UTF-8 begins with (RFC 3629, clause 4); none where its first bytes
/// are no character: a stray byte, one cut off, a longer form than needed, a surrogate.
[[nodiscard]] std::optional<Character> first_character(std::string_view text);

/// The characters of a text in UTF-8; none where it is not right.
[[nodiscard]] std::optional<std::u32string> characters_of(std::string_view text);

/// Whether a character shows nothing itself: it controls a terminal, ends a line, turns the
/// direction of what follows, joins or parts others, or is ignored where it is unknown. Those that
/// choose the form of the character before them are not meant (variation selectors).
[[nodiscard]] bool is_unseen(char32_t character);

/// A text of others as it may be printed, on a terminal or a page: right UTF-8 in which every
/// character is seen. A control character of ASCII and a byte that is no UTF-8 become \x1b, any
/// other that is not seen (is_unseen) \u{202e}; joiners stay between characters of scripts that
/// need them and between pictures, a selector of a form behind what has forms. Own rule. Applied
/// again it changes nothing.
[[nodiscard]] std::string visible_text(std::string_view text);

/// The same of several lines: line feeds stay.
[[nodiscard]] std::string visible_lines(std::string_view text);

}  // namespace earbudget
