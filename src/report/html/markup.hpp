#pragma once

#include <string>
#include <string_view>

namespace earbudget::report::html {

/// Text of a user or of the program as it may stand between tags and in quoted attributes: never
/// markup. Control characters and marks that turn the direction of writing become visible spaces or
/// are kept within their own element (see `text`).
[[nodiscard]] std::string escaped(std::string_view text);

/// Escaped text in an element of its own, so that a direction of writing does not leave it.
[[nodiscard]] std::string text(std::string_view text);

/// <name>content</name>; content is markup.
[[nodiscard]] std::string element(std::string_view name, std::string_view content);
/// The same with a class.
[[nodiscard]] std::string element(std::string_view name, std::string_view css_class,
                                  std::string_view content);

/// A whole page that needs nothing from outside: language, title, style, main landmark.
[[nodiscard]] std::string page(std::string_view title, std::string_view main_content,
                               std::string_view footer);

}  // namespace earbudget::report::html
