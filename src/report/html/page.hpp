#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "report/document.hpp"

namespace earbudget::report::html {

using PageHead = Head;

/// A place on the page: id of a section, words in the list of contents.
using Contents = std::vector<std::pair<std::string, std::string>>;

/// A whole page that needs nothing from outside: language, title, style, landmarks, a link past the
/// contents, a header on each sheet of paper. `main` and `footer` are markup.
[[nodiscard]] std::string page(const PageHead& head, const Contents& contents,
                               std::string_view main, std::string_view footer,
                               std::string_view css_class = "report");

/// Plan and date once more, on paper alone, for sheets that get apart.
[[nodiscard]] std::string running_line(const PageHead& head);

}  // namespace earbudget::report::html
