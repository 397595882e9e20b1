#include "earbudget/study/visible_text.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <utility>

#include <fmt/format.h>

namespace earbudget {

namespace {

struct Range {
    char32_t first;
    char32_t last;
};

// Of the Unicode standard: general categories Cc, Zl and Zp, and what it names default ignorable
// (DerivedCoreProperties.txt) without variation selectors; annotations and noncharacters (memory).
constexpr std::array<Range, 21> unseen = {
    {{0x0000, 0x001F},  {0x007F, 0x009F},   {0x00AD, 0x00AD},   {0x034F, 0x034F},
     {0x061C, 0x061C},  {0x115F, 0x1160},   {0x17B4, 0x17B5},   {0x180E, 0x180E},
     {0x200B, 0x200F},  {0x2028, 0x202E},   {0x2060, 0x206F},   {0x3164, 0x3164},
     {0xFDD0, 0xFDEF},  {0xFEFF, 0xFEFF},   {0xFFA0, 0xFFA0},   {0xFFF0, 0xFFFB},
     {0xFFFE, 0xFFFF},  {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A}, {0xE0000, 0xE00FF},
     {0xE01F0, 0xE0FFF}}};

/// Of the first byte; 0 for a byte that begins none.
std::size_t bytes_announced_by(unsigned char first) {
    if (first < 0x80) return 1;
    if (first < 0xC2 || first > 0xF4) return 0;
    return first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
}

bool is_character(char32_t code, std::size_t bytes) {
    constexpr std::array<char32_t, 5> least = {0, 0, 0x80, 0x800, 0x10000};
    const bool is_surrogate = code >= 0xD800 && code <= 0xDFFF;
    return code >= least[bytes] && code <= 0x10FFFF && !is_surrogate;
}

// Blocks of the Unicode standard whose scripts are written with joiners: from Arabic to Sinhala,
// Tibetan and Myanmar, Khmer and Mongolian, from Limbu to the Vedic signs, and from Saurashtra to
// Meetei Mayek; forms of Arabic; Brahmi and what came of it (memory).
constexpr std::array<Range, 8> joined_scripts = {{{0x0600, 0x0DFF},
                                                  {0x0F00, 0x109F},
                                                  {0x1780, 0x18AF},
                                                  {0x1900, 0x1CFF},
                                                  {0xA800, 0xABFF},
                                                  {0xFB50, 0xFDCF},
                                                  {0xFE70, 0xFEFE},
                                                  {0x11000, 0x11FFF}}};

// Symbols and pictures, with the tones of skin and the selector of the coloured form.
constexpr std::array<Range, 4> pictures = {
    {{0x2190, 0x2BFF}, {0xFE0F, 0xFE0F}, {0x1F000, 0x1FAFF}, {0x3030, 0x303D}}};

constexpr std::array<Range, 4> ideographs = {
    {{0x3400, 0x4DBF}, {0x4E00, 0x9FFF}, {0xF900, 0xFAFF}, {0x20000, 0x3FFFD}}};

constexpr std::array<Range, 4> selectors = {
    {{0x180B, 0x180D}, {0x180F, 0x180F}, {0xFE00, 0xFE0F}, {0xE0100, 0xE01EF}}};

template <std::size_t N>
bool is_in(const std::array<Range, N>& ranges, char32_t character) {
    return std::ranges::any_of(ranges, [character](const Range& range) {
        return character >= range.first && character <= range.last;
    });
}

bool is_joined(char32_t joiner, char32_t before, char32_t after) {
    if (is_unseen(after) || is_in(selectors, after)) return false;  // it will be shown itself
    if (is_in(joined_scripts, before) && is_in(joined_scripts, after)) return true;
    return joiner == 0x200D && is_in(pictures, before) && is_in(pictures, after);
}

/// Digits and the like have coloured forms too.
bool has_forms(char32_t selector, char32_t before) {
    if (selector >= 0xE0100) return is_in(ideographs, before);
    if (selector < 0xFE00) return before >= 0x1820 && before <= 0x18AA;  // Mongolian
    const bool is_key = (before >= '0' && before <= '9') || before == '#' || before == '*';
    return is_key || (before >= 0xA0 && !is_in(selectors, before));
}

bool is_seen(char32_t character, char32_t before, std::string_view rest) {
    if (is_in(selectors, character)) return has_forms(character, before);
    if (character == 0x200C || character == 0x200D) {
        const auto after = first_character(rest);
        return after && is_joined(character, before, after->code);
    }
    return !is_unseen(character);
}

std::string visible(std::string_view text, bool keep_line_feeds) {
    std::string result;
    result.reserve(text.size());
    char32_t before = 0;  // none, or what was replaced
    while (!text.empty()) {
        // Nearly all of a report.
        if (const std::size_t plain = printable_ascii(text); plain > 0) {
            result += text.substr(0, plain);
            before = static_cast<unsigned char>(text[plain - 1]);
            text.remove_prefix(plain);
            continue;
        }
        const auto character = first_character(text);
        const std::string_view bytes = text.substr(0, character ? character->bytes : 1);
        text.remove_prefix(bytes.size());
        const char32_t code = character ? character->code : 0;
        const char32_t seen_before = std::exchange(before, 0);
        if (!character || (code < 0x80 && is_unseen(code) && !(keep_line_feeds && code == '\n'))) {
            result += fmt::format("\\x{:02x}", static_cast<unsigned char>(bytes[0]));
        } else if (code == '\n' || is_seen(code, seen_before, text)) {
            result += bytes;
            before = code;
        } else {
            result += fmt::format("\\u{{{:x}}}", static_cast<std::uint32_t>(code));
        }
    }
    return result;
}

}  // namespace

std::size_t printable_ascii(std::string_view text) {
    const auto other = std::ranges::find_if(text, [](char c) { return c < ' ' || c > '~'; });
    return static_cast<std::size_t>(other - text.begin());
}

std::optional<Character> first_character(std::string_view text) {
    if (text.empty()) return std::nullopt;
    const auto first = static_cast<unsigned char>(text[0]);
    const std::size_t bytes = bytes_announced_by(first);
    if (bytes == 0 || bytes > text.size()) return std::nullopt;
    char32_t code = bytes == 1 ? first : first & (0xFFU >> (bytes + 1));
    for (std::size_t n = 1; n < bytes; ++n) {
        const auto byte = static_cast<unsigned char>(text[n]);
        if ((byte & 0xC0U) != 0x80U) return std::nullopt;
        code = (code << 6U) | (byte & 0x3FU);
    }
    return is_character(code, bytes) ? std::optional(Character{code, bytes}) : std::nullopt;
}

std::optional<std::u32string> characters_of(std::string_view text) {
    std::u32string characters;
    while (!text.empty()) {
        const auto character = first_character(text);
        if (!character) return std::nullopt;
        characters += character->code;
        text.remove_prefix(character->bytes);
    }
    return characters;
}

bool is_unseen(char32_t character) {
    if ((character & 0xFFFEU) == 0xFFFEU) return true;  // the last two of each plane are none
    return std::ranges::any_of(unseen, [character](const Range& range) {
        return character >= range.first && character <= range.last;
    });
}

std::string visible_text(std::string_view text) { return visible(text, false); }

std::string visible_lines(std::string_view text) { return visible(text, true); }

}  // namespace earbudget
