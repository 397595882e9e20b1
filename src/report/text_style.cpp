#include "report/text_style.hpp"

#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "report/display_width.hpp"

namespace earbudget::report {

namespace {

constexpr std::string_view reset = "\x1b[0m";

std::string in_colour(bool colour, std::string_view code, std::string_view text) {
    return colour ? fmt::format("\x1b[{}m{}{}", code, text, reset) : std::string(text);
}

}  // namespace

std::string TextStyle::strong(std::string_view text) const { return in_colour(colour, "1", text); }

std::string TextStyle::verdict(Verdict verdict, std::string_view text) const {
    switch (verdict) {
        case Verdict::Within:
            return in_colour(colour, "1;32", text);
        case Verdict::Close:
        case Verdict::Unknown:
            return in_colour(colour, "1;33", text);
        case Verdict::Over:
            return in_colour(colour, "1;31", text);
    }
    return std::string(text);
}

std::string wrapped(std::string_view text, std::size_t first_indent, std::size_t indent,
                    std::size_t width) {
    std::string result(first_indent, ' ');
    std::size_t column = first_indent;
    bool line_begins = true;
    while (!text.empty()) {
        const std::size_t space = text.find(' ');
        const std::string_view word = text.substr(0, space);
        const std::size_t length = width_of(word);
        if (!line_begins && column + 1 + length > width) {
            result += '\n' + std::string(indent, ' ');
            column = indent;
            line_begins = true;
        }
        if (!line_begins) {
            result += ' ';
            ++column;
        }
        result += word;
        column += length;
        line_begins = false;
        text.remove_prefix(space == std::string_view::npos ? text.size() : space + 1);
    }
    return result + '\n';
}

std::string table_time(Seconds time) {
    const bool short_and_broken = time < Seconds(60.0) && time.count() != std::floor(time.count());
    return text_of(short_and_broken ? time : Seconds(std::round(time.count())));
}

}  // namespace earbudget::report
