#include "earbudget/study/visible_text.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "earbudget/study/characters.hpp"

namespace earbudget {

namespace {

struct ScriptRange {
    char32_t first;
    char32_t last;
};

// Blocks of the Unicode standard whose scripts are written with joiners: from Arabic to Sinhala,
// Tibetan and Myanmar, Khmer and Mongolian, from Limbu to the Vedic signs, and from Saurashtra to
// Meetei Mayek; forms of Arabic; Brahmi and what came of it (memory).
constexpr std::array<ScriptRange, 8> joined_scripts = {{{0x0600, 0x0DFF},
                                                        {0x0F00, 0x109F},
                                                        {0x1780, 0x18AF},
                                                        {0x1900, 0x1CFF},
                                                        {0xA800, 0xABFF},
                                                        {0xFB50, 0xFDCF},
                                                        {0xFE70, 0xFEFE},
                                                        {0x11000, 0x11FFF}}};

// Symbols and pictures, with the tones of skin and the selector of the coloured form.
constexpr std::array<ScriptRange, 4> pictures = {
    {{0x2190, 0x2BFF}, {0xFE0F, 0xFE0F}, {0x1F000, 0x1FAFF}, {0x3030, 0x303D}}};

constexpr std::array<ScriptRange, 4> ideographs = {
    {{0x3400, 0x4DBF}, {0x4E00, 0x9FFF}, {0xF900, 0xFAFF}, {0x20000, 0x3FFFD}}};

constexpr std::array<ScriptRange, 4> selectors = {
    {{0x180B, 0x180D}, {0x180F, 0x180F}, {0xFE00, 0xFE0F}, {0xE0100, 0xE01EF}}};

template <std::size_t N>
bool is_in(const std::array<ScriptRange, N>& ranges, char32_t character) {
    return std::ranges::any_of(ranges, [character](const ScriptRange& range) {
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

std::string visible_text(std::string_view text) { return visible(text, false); }

std::string visible_lines(std::string_view text) { return visible(text, true); }

}  // namespace earbudget
