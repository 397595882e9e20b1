#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/limits/assessment.hpp"

namespace earbudget::report::html {

/// The mark of a verdict, which says by its ink how grave it is: ring, half full, full with a
/// question mark, full diamond. Words stand beside it.
[[nodiscard]] std::string mark_of(Verdict verdict);

/// What the marks of this page stand for, once a page: words for within, close, cannot be decided,
/// over, in this order; empty words leave a mark out.
[[nodiscard]] std::string marks_key(const std::array<std::string_view, 4>& words);

/// An answer to be read first: its mark by the verdict, its words strong; both texts.
[[nodiscard]] std::string answer(Verdict verdict, std::string_view strong, std::string_view rest);
/// The same of one person or thing, in a section of its own; markup.
[[nodiscard]] std::string answer_line(Verdict verdict, std::string_view markup);

/// The working, unfolded; `of` is text that names whose. Empty without steps.
[[nodiscard]] std::string working_block(std::string_view of, const Working& working);

}  // namespace earbudget::report::html
