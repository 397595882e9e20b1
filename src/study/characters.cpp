#include "earbudget/study/characters.hpp"

#include <algorithm>
#include <array>

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

}  // namespace

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

}  // namespace earbudget
