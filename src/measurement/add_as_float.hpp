#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <span>

namespace earbudget {

/// Gives a meter of float samples a block of doubles.
template <typename Meter>
void add_as_float(Meter& meter, std::span<const double> block) {
    std::array<float, 512> part;
    while (!block.empty()) {
        const std::size_t size = std::min(block.size(), part.size());
        for (std::size_t n = 0; n < size; ++n)
            part[n] = static_cast<float>(block[n]);
        meter.add(std::span(part).first(size));
        block = block.subspan(size);
    }
}

}  // namespace earbudget
