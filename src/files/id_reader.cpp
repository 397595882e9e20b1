#include "files/id_reader.hpp"

#include <algorithm>
#include <array>
#include <cstdint>

#include <fmt/format.h>

#include "earbudget/study/characters.hpp"
#include "earbudget/study/visible_text.hpp"

namespace earbudget::files {

namespace {

constexpr std::size_t most_characters = 100;  // own choice: what fits a line or two

struct Range {
    std::uint32_t first;
    std::uint32_t last;
};

// Zs.
constexpr std::array<Range, 7> blank = {{{0x20, 0x20},
                                         {0xA0, 0xA0},
                                         {0x1680, 0x1680},
                                         {0x2000, 0x200A},
                                         {0x202F, 0x202F},
                                         {0x205F, 0x205F},
                                         {0x3000, 0x3000}}};

template <std::size_t N>
bool is_in(const std::array<Range, N>& ranges, std::uint32_t character) {
    return std::ranges::any_of(ranges, [character](const Range& range) {
        return character >= range.first && character <= range.last;
    });
}

}  // namespace

std::optional<std::string> why_no_id(std::string_view id) {
    const auto characters = characters_of(id);
    if (!characters) return ", which is no UTF-8";
    if (characters->empty()) return ", empty";
    if (characters->size() > most_characters)
        return fmt::format(", {} characters long", characters->size());
    // What is printed must be what can be typed.
    if (const std::string seen = visible_text(id); seen != id) {
        const auto at = static_cast<std::size_t>(std::ranges::mismatch(id, seen).in1 - id.begin());
        const auto unseen = first_character(id.substr(at));
        return fmt::format(", with U+{:04X}, which cannot be seen",
                           static_cast<std::uint32_t>(unseen ? unseen->code : 0));
    }
    if (is_in(blank, characters->front()) || is_in(blank, characters->back()))
        return ", with a blank at an end";
    return std::nullopt;
}

Located<std::string> require_id(TableReader& table) {
    auto id = table.require_text("id", accepted_ids);
    if (const auto why = why_no_id(id.value)) {
        table.report("id", fmt::format("is \"{}\"{}; accepted: {}", id.value, *why, accepted_ids));
        throw AlreadyListed();
    }
    return id;
}

}  // namespace earbudget::files
