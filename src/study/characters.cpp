#include "earbudget/study/characters.hpp"

#include <cstdint>

namespace earbudget {

std::optional<std::u32string> characters_of(std::string_view text) {
    std::u32string characters;
    for (std::size_t at = 0; at < text.size();) {
        const auto first = static_cast<unsigned char>(text[at]);
        const std::size_t length = first < 0x80 ? 1 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
        if ((first >= 0x80 && first < 0xC2) || first > 0xF4 || at + length > text.size())
            return std::nullopt;
        std::uint32_t character = length == 1 ? first : first & (0xFFU >> (length + 1));
        for (std::size_t n = 1; n < length; ++n) {
            const auto byte = static_cast<unsigned char>(text[at + n]);
            if ((byte & 0xC0U) != 0x80U) return std::nullopt;
            character = (character << 6U) | (byte & 0x3FU);
        }
        characters += static_cast<char32_t>(character);
        at += length;
    }
    return characters;
}

}  // namespace earbudget
