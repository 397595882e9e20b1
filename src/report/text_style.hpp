#pragma once

#include <algorithm>
#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "earbudget/computing/add_once.hpp"
#include "earbudget/limits/assessment.hpp"

namespace earbudget::report {

// How a part of a report's words looks: marks around it, which `printed` and pages follow and
// `without_marks` takes away. What they stand around becomes visible_text.

[[nodiscard]] std::string strong(std::string_view text);
/// A verdict's words in its colour; never needed to understand the text.
[[nodiscard]] std::string coloured(Verdict verdict, std::string_view text);
/// The digits of a sum, to be read one by one.
[[nodiscard]] std::string hash_digits(std::string_view text);

/// Where the rest of what is told in short stands: "--detail" in text, "below" on a page.
[[nodiscard]] std::string where_the_rest_is();

/// Words one after another, those that are empty left out.
[[nodiscard]] std::string joined(const std::vector<std::string>& parts, std::string_view between);
/// The same of what is said of each thing.
template <class Things, class Words>
[[nodiscard]] std::string joined(const Things& things, std::string_view between,
                                 const Words& words_of_one) {
    std::vector<std::string> parts;
    for (const auto& thing : things)
        parts.push_back(std::invoke(words_of_one, thing));
    return joined(parts, between);
}

/// What marks say of a stretch of text.
enum class Look : char {
    Plain = '0',
    Strong = '1',
    Green = '2',
    Yellow = '3',
    Red = '4',
    Hash = '5',
    Rest = '6'  ///< where_the_rest_is
};

struct Stretch {
    Look look = Look::Plain;
    std::string_view text;
};
/// Words in the stretches that look alike.
[[nodiscard]] std::vector<Stretch> stretches_of(std::string_view words);
[[nodiscard]] std::string without_marks(std::string_view words);

/// The terminal that a text goes to.
struct TextStyle {
    bool colour = false;
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

/// How many columns a text takes on a terminal, as visible_text: two for a character of East Asian
/// width, none for an accent of its own.
[[nodiscard]] std::size_t width_of(std::string_view text);

/// A text with blanks behind it, or before it, up to so many columns.
[[nodiscard]] std::string at_left(std::string_view text, std::size_t width);
[[nodiscard]] std::string at_right(std::string_view text, std::size_t width);

}  // namespace earbudget::report
