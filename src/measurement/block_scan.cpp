#include "measurement/block_scan.hpp"

#include <cstddef>

#include "measurement/vector/kernels.hpp"

namespace earbudget {

Extremes extremes_of(std::span<const float> block) {
    return vector::kernels().extremes(block.data(), block.size());
}

bool has_flat_outside(std::span<const float> block, float low, float high) {
    return block.size() >= 3 &&
           vector::kernels().has_flat_outside(block.data(), block.size() - 2, low, high);
}

}  // namespace earbudget
