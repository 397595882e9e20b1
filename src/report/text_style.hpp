#pragma once

#include <string>
#include <string_view>

#include "earbudget/limits/assessment.hpp"

namespace earbudget::report {

/// How text looks on the terminal that it goes to: marks in a report, which `printed` follows. What
/// they stand around becomes visible_text.
struct TextStyle {
    bool colour = false;  ///< never needed to understand the text

    [[nodiscard]] std::string strong(std::string_view text) const;
    /// A verdict's words in its colour.
    [[nodiscard]] std::string verdict(Verdict verdict, std::string_view text) const;
};

/// A report as it is sent to a terminal or into a file of text: visible_lines, with its marks
/// followed. Every report in text goes through here.
[[nodiscard]] std::string printed(std::string_view text);

/// Breaks a sentence, made visible_text, between words so that no line is longer than `width`,
/// following lines indented.
[[nodiscard]] std::string wrapped(std::string_view sentence, std::size_t first_indent,
                                  std::size_t indent, std::size_t width = 96);

/// A time for a table, rounded to whole seconds: "8 min", "45 s".
[[nodiscard]] std::string table_time(Seconds time);

}  // namespace earbudget::report
