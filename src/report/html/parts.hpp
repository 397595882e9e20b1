#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/limits/assessment.hpp"
#include "report/record.hpp"

namespace earbudget::report::html {

/// The mark of a verdict, which says by its ink how grave it is: ring, half full, full with a
/// question mark, full diamond. Words stand beside it.
[[nodiscard]] std::string mark_of(Verdict verdict);

/// What the marks of this page stand for, once a page: words for within, close, cannot be decided,
/// over, in this order; empty words leave a mark out.
[[nodiscard]] std::string marks_key(const std::array<std::string_view, 4>& words);
inline constexpr std::array<std::string_view, 4> verdict_marks = {
    "within every limit", "close to a limit", "cannot be decided", "over a limit"};

/// An answer to be read first: its mark by the verdict, its words strong; both texts.
[[nodiscard]] std::string answer(Verdict verdict, std::string_view strong, std::string_view rest);
/// The same of one person or thing, in a section of its own; markup.
[[nodiscard]] std::string answer_line(Verdict verdict, std::string_view markup);

/// What must be read with every decision, once more short and near it.
[[nodiscard]] std::string short_cautions();

/// The sections at the end of every page: record and cautions; `more` cautions stand first.
[[nodiscard]] std::string record_section(const Record& record, const RulesUsed& rules);
[[nodiscard]] std::string cautions_section(const std::vector<std::string>& more = {});

/// The working, unfolded; `of` is text that names whose. Empty without steps.
[[nodiscard]] std::string working_block(std::string_view of, const Working& working);

/// "earbudget 0.3.0, 2026-02-28" for the page's foot.
[[nodiscard]] std::string foot(const Record& record);

}  // namespace earbudget::report::html
