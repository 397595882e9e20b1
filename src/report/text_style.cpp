#include "report/text_style.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/study/visible_text.hpp"

namespace earbudget::report {

namespace {

// A zero character and a digit stand before a stretch, which no text of others can hold: neither
// names of files nor TOML know that character.
constexpr char mark_character = '\0';

// Select graphic rendition (ECMA-48, 8.3.117; memory).
std::string_view sequence_of(Look look) {
    switch (look) {
        case Look::Strong:
            return "\x1b[1m";
        case Look::Green:
            return "\x1b[1;32m";
        case Look::Yellow:
            return "\x1b[1;33m";
        case Look::Red:
            return "\x1b[1;31m";
        case Look::Plain:
        case Look::Hash:
        case Look::Rest:
            break;
    }
    return "\x1b[0m";
}

std::string with_look(Look look, std::string_view text) {
    return std::string{mark_character, static_cast<char>(look)} + visible_text(text) +
           std::string{mark_character, static_cast<char>(Look::Plain)};
}

/// The same marks around what `seen` makes of each stretch.
template <class Seen>
std::string by_stretches(std::string_view words, Seen&& seen) {
    std::string result;
    Look before = Look::Plain;
    for (const Stretch& stretch : stretches_of(words)) {
        if (stretch.look != before) result += {mark_character, static_cast<char>(stretch.look)};
        result += seen(stretch.text);
        before = stretch.look;
    }
    return result;
}

struct Range {
    std::uint32_t first;
    std::uint32_t last;
};

// Combining marks, and East Asian wide characters with pictures, of the Unicode standard and its
// annex 11; the large blocks alone (memory).
constexpr std::array<Range, 6> of_no_width = {{{0x0300, 0x036F},
                                               {0x0483, 0x0489},
                                               {0x1AB0, 0x1AFF},
                                               {0x1DC0, 0x1DFF},
                                               {0x20D0, 0x20FF},
                                               {0xFE00, 0xFE0F}}};
constexpr std::array<Range, 8> wide = {{{0x1100, 0x115F},
                                        {0x2E80, 0xA4CF},
                                        {0xAC00, 0xD7A3},
                                        {0xF900, 0xFAFF},
                                        {0xFE30, 0xFE6F},
                                        {0xFF00, 0xFF60},
                                        {0xFFE0, 0xFFE6},
                                        {0x1F300, 0x3FFFD}}};

template <std::size_t N>
bool is_in(const std::array<Range, N>& ranges, std::uint32_t character) {
    return std::ranges::any_of(ranges, [character](const Range& range) {
        return character >= range.first && character <= range.last;
    });
}

std::string room(std::string_view text, std::size_t width) {
    const std::size_t taken = width_of(text);
    return std::string(width > taken ? width - taken : 0, ' ');
}

}  // namespace

std::vector<Stretch> stretches_of(std::string_view words) {
    std::vector<Stretch> stretches;
    Look look = Look::Plain;
    while (true) {
        const std::size_t at = words.find(mark_character);
        stretches.push_back({look, words.substr(0, at)});
        if (at == words.npos || at + 1 >= words.size()) return stretches;
        look = Look(words[at + 1]);
        words.remove_prefix(at + 2);
    }
}

std::string without_marks(std::string_view words) {
    std::string result;
    for (const Stretch& stretch : stretches_of(words))
        result += stretch.text;
    return result;
}

std::string strong(std::string_view text) { return with_look(Look::Strong, text); }

std::string hash_digits(std::string_view text) { return with_look(Look::Hash, text); }

std::string where_the_rest_is() { return with_look(Look::Rest, "--detail"); }

std::string coloured(Verdict verdict, std::string_view text) {
    static constexpr std::array looks = {Look::Green, Look::Yellow, Look::Yellow, Look::Red};
    return with_look(looks[static_cast<std::size_t>(verdict)], text);
}

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
    std::string all;
    for (const std::string& part : parts) {
        if (part.empty()) continue;
        if (!all.empty()) all += between;
        all += part;
    }
    return all;
}

std::string printed(std::string_view text) {
    std::string result;
    Look before = Look::Plain;
    for (const Stretch& stretch : stretches_of(text)) {
        if (stretch.look != before) result += sequence_of(stretch.look);
        result += visible_lines(stretch.text);
        before = stretch.look;
    }
    return result;
}

std::string wrapped(std::string_view sentence, std::size_t first_indent, std::size_t indent,
                    std::size_t width) {
    const std::string seen = by_stretches(sentence, visible_text);
    std::string_view text = seen;
    std::string result(first_indent, ' ');
    std::size_t column = first_indent;
    bool line_begins = true;
    while (!text.empty()) {
        const std::size_t space = text.find(' ');
        const std::string_view word = text.substr(0, space);
        const bool marked = word.find(mark_character) != word.npos;
        const std::size_t length = marked ? width_of(without_marks(word)) : width_of(word);
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

std::size_t width_of(std::string_view text) {
    if (printable_ascii(text) == text.size()) return text.size();
    const std::string seen = visible_text(text);
    std::size_t width = 0;
    for (std::string_view rest = seen; !rest.empty();) {
        const Character character = first_character(rest).value();
        width += is_in(of_no_width, character.code) ? 0 : is_in(wide, character.code) ? 2 : 1;
        rest.remove_prefix(character.bytes);
    }
    return width;
}

std::string at_left(std::string_view text, std::size_t width) {
    return std::string(text) + room(text, width);
}

std::string at_right(std::string_view text, std::size_t width) {
    return room(text, width) + std::string(text);
}

}  // namespace earbudget::report
