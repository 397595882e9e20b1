#include "report/display_width.hpp"

#include <algorithm>
#include <array>
#include <cstdint>

#include "earbudget/study/visible_text.hpp"

namespace earbudget::report {

namespace {

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

std::size_t width_of(std::string_view text) {
    const auto characters = characters_of(visible_text(text));
    std::size_t width = 0;
    for (const char32_t character : characters.value())
        width += is_in(of_no_width, character) ? 0 : is_in(wide, character) ? 2 : 1;
    return width;
}

std::string at_left(std::string_view text, std::size_t width) {
    return std::string(text) + room(text, width);
}

std::string at_right(std::string_view text, std::size_t width) {
    return room(text, width) + std::string(text);
}

}  // namespace earbudget::report
