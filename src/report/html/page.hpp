#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace earbudget::report::html {

/// What stands above every page and on each sheet of paper.
struct PageHead {
    std::string command;  ///< that made it
    std::string kind;     ///< what it is, in plain words
    std::string title;    ///< of the plan or card: a user's text
    std::string file;     ///< that it was made from
    std::string date;     ///< YYYY-MM-DD
};

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
