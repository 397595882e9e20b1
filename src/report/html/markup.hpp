#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace earbudget::report::html {

/// Text of a user or of the program, made visible_text, as it may stand between tags and in quoted
/// attributes: never markup.
[[nodiscard]] std::string escaped(std::string_view text);

/// Escaped text in an element of its own, so that a direction of writing does not leave it, and in
/// others where marks say how it looks (text_style.hpp).
[[nodiscard]] std::string text(std::string_view text);

/// Text, made visible_text, as the content of a CSS string within a style element: neither the
/// string nor the element ends early.
[[nodiscard]] std::string css_text(std::string_view text);

/// No more than so many characters of visible_text, the last of them "…" where some are left out.
[[nodiscard]] std::string shortened(std::string_view text, std::size_t most);

/// <name>content</name>; content is markup.
[[nodiscard]] std::string element(std::string_view name, std::string_view content);
/// The same with a class.
[[nodiscard]] std::string element(std::string_view name, std::string_view css_class,
                                  std::string_view content);

/// A list of sentences, each a text; empty without any.
[[nodiscard]] std::string list_of(const std::vector<std::string>& sentences,
                                  std::string_view css_class = "plain");

/// A section with a heading of level 2 or 3; `id` is unique on the page, `heading` is markup.
[[nodiscard]] std::string section(std::string_view id, unsigned level, std::string_view heading,
                                  std::string_view content, std::string_view css_class = "part");

}  // namespace earbudget::report::html
