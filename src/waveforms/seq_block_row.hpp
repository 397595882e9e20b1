#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

#include "waveforms/seq_blocks.hpp"

namespace earbudget::waveforms {

/// What stands in a line of [BLOCKS], in its order.
struct BlockReader::Column {
    enum : std::size_t { Id, Duration, RF, X, Y, Z, ADC, Extension, count };
    static constexpr std::array<std::string_view, count> names = {
        "the block's id",    "the duration",      "the RF pulse",  "the gradient on x",
        "the gradient on y", "the gradient on z", "the ADC event", "the extension"};
};

/// The numbers of a line, and where each stands.
struct BlockReader::Row {
    std::array<std::int64_t, Column::count> ids{};
    std::array<unsigned, Column::count> at{};
};

/// When each event of a block ends, by columns; 0 for none.
struct BlockReader::Events {
    std::array<Picoseconds, Column::count> ends{};
};

/// What the extensions of a block say together.
struct BlockReader::InChain {
    std::optional<std::int64_t> once, unturned;
    std::int64_t more_once = 0, more_unturned = 0;
    Picoseconds longest{0};
};

/// An event's thing; null for id 0.
template <class Thing>
[[nodiscard]] const Thing* found(const ById<Thing>& things, std::int64_t id, const auto& refuse) {
    if (id == 0) return nullptr;
    const Thing* thing = things.find(id);
    if (!thing) refuse(id);
    return thing;
}

}  // namespace earbudget::waveforms
