#pragma once

#include <array>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/limits/assessment.hpp"
#include "report/document.hpp"

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

/// The mark of a verdict, which says by its ink how grave it is: ring, half full, full with a
/// question mark, full diamond. Words stand beside it.
[[nodiscard]] std::string mark_of(Verdict verdict);

/// What the marks of this page stand for, once a page: words for within, close, cannot be decided,
/// over, in this order; empty words leave a mark out.
[[nodiscard]] std::string marks_key(const std::array<std::string_view, 4>& words);

/// An answer to be read first: its mark by the verdict, its words strong, and what follows from it
/// below; all texts.
[[nodiscard]] std::string answer(Verdict verdict, std::string_view strong, std::string_view rest,
                                 const std::vector<std::string>& under = {});
/// The same of one person or thing, in a section of its own; markup.
[[nodiscard]] std::string answer_line(Verdict verdict, std::string_view markup);

/// The working, unfolded; `of` is text that names whose. Empty without steps.
[[nodiscard]] std::string working_block(std::string_view of, const Working& working);

/// A table with a caption and headers of columns and rows. On a narrow screen each row with more
/// than two values, and each of a step of the working, becomes a block, with the column's title
/// beside each value, so that nothing is cut; between, it stands in a region that scrolls by
/// itself, also by keyboard, and shows it by a shadow.
[[nodiscard]] std::string table_markup(const Table& table);

}  // namespace earbudget::report::html
