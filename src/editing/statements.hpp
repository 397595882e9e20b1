#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace earbudget::editing {

/// A part of a text, from one byte to before another.
struct Span {
    std::size_t begin = 0;
    std::size_t end = 0;

    [[nodiscard]] std::string_view of(std::string_view text) const {
        return text.substr(begin, end - begin);
    }
    bool operator==(const Span&) const = default;
};

/// A header, or a key with its value.
struct Statement {
    bool is_header = false;
    Span itself = {};  ///< from its first character to its last, without a comment
    Span value = {};   ///< of a key
    Span lines = {};   ///< whole, to before the line break of the last, comments included
    std::size_t comments_from = 0;  ///< where the comment lines right above it begin, else `lines`
};

/// All of a text that is TOML, in their order.
[[nodiscard]] std::vector<Statement> statements_of(std::string_view text);

/// Where a value ends that begins there: a text, an array, an inline table, anything else.
[[nodiscard]] std::size_t end_of_value(std::string_view text, std::size_t begin);

/// The comments in a part of a text, each with its "#" and without blanks at its end.
[[nodiscard]] std::vector<std::string> comments_in(std::string_view text, Span span);

/// Elements of an array, or keys with their values of an inline table, that begins there with its
/// bracket: each without blanks around it.
[[nodiscard]] std::vector<Span> elements_of(std::string_view text, std::size_t begin);

}  // namespace earbudget::editing
