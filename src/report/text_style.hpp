#pragma once

#include <string>
#include <string_view>

#include "earbudget/decision/assessment.hpp"

namespace earbudget::report {

/// How text looks on the terminal that it goes to.
struct TextStyle {
    bool colour = false;  ///< never needed to understand the text

    [[nodiscard]] std::string strong(std::string_view text) const;
    /// A verdict's words in its colour.
    [[nodiscard]] std::string verdict(Verdict verdict, std::string_view text) const;
};

/// Breaks text between words so that no line is longer than `width`, following lines indented.
[[nodiscard]] std::string wrapped(std::string_view text, std::size_t first_indent,
                                  std::size_t indent, std::size_t width = 96);

/// A time for a table, rounded to whole seconds: "8 min", "45 s".
[[nodiscard]] std::string table_time(Seconds time);

}  // namespace earbudget::report
