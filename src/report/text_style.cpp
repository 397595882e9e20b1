#include "report/text_style.hpp"

#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "earbudget/study/visible_text.hpp"
#include "report/display_width.hpp"

namespace earbudget::report {

namespace {

/// How a text begins to look. Until it is printed a zero character and a digit stand for it, which
/// no text of others can hold: neither names of files nor TOML know that character.
enum class Look : char { Plain = '0', Strong = '1', Green = '2', Yellow = '3', Red = '4' };

constexpr char mark = '\0';

// Select graphic rendition (ECMA-48, 8.3.117; memory).
std::string_view sequence_of(char look) {
    switch (Look(look)) {
        case Look::Strong:
            return "\x1b[1m";
        case Look::Green:
            return "\x1b[1;32m";
        case Look::Yellow:
            return "\x1b[1;33m";
        case Look::Red:
            return "\x1b[1;31m";
        case Look::Plain:
            break;
    }
    return "\x1b[0m";
}

std::string with_look(bool colour, Look look, std::string_view text) {
    const std::string seen = visible_text(text);
    if (!colour) return seen;
    return std::string{mark, static_cast<char>(look)} + seen +
           std::string{mark, static_cast<char>(Look::Plain)};
}

/// The stretches of a text between marks as `seen` makes them, the marks as `looks` does.
template <class Seen, class Looks>
std::string by_marks(std::string_view text, Seen&& seen, Looks&& looks) {
    std::string result;
    while (true) {
        const std::size_t at = text.find(mark);
        result += seen(text.substr(0, at));
        if (at == text.npos || at + 1 >= text.size()) return result;
        result += looks(text.substr(at, 2));
        text.remove_prefix(at + 2);
    }
}

/// What a line may hold, with its marks.
std::string in_line(std::string_view text) {
    return by_marks(text, visible_text, [](std::string_view marks) { return std::string(marks); });
}

std::size_t width_without_marks(std::string_view text) {
    return width_of(by_marks(
        text, [](std::string_view seen) { return std::string(seen); },
        [](std::string_view) { return std::string(); }));
}

}  // namespace

std::string TextStyle::strong(std::string_view text) const {
    return with_look(colour, Look::Strong, text);
}

std::string TextStyle::verdict(Verdict verdict, std::string_view text) const {
    switch (verdict) {
        case Verdict::Within:
            return with_look(colour, Look::Green, text);
        case Verdict::Close:
        case Verdict::Unknown:
            return with_look(colour, Look::Yellow, text);
        case Verdict::Over:
            return with_look(colour, Look::Red, text);
    }
    return std::string(text);
}

std::string printed(std::string_view text) {
    return by_marks(text, visible_lines,
                    [](std::string_view marks) { return std::string(sequence_of(marks[1])); });
}

std::string wrapped(std::string_view sentence, std::size_t first_indent, std::size_t indent,
                    std::size_t width) {
    const std::string seen = in_line(sentence);
    std::string_view text = seen;
    std::string result(first_indent, ' ');
    std::size_t column = first_indent;
    bool line_begins = true;
    while (!text.empty()) {
        const std::size_t space = text.find(' ');
        const std::string_view word = text.substr(0, space);
        const std::size_t length = width_without_marks(word);
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
