#include "measurement/block_scan.hpp"

#include <array>
#include <cstddef>

#include "measurement/vector_code.hpp"

namespace earbudget {

namespace {

using vector_code::Floats;
using vector_code::lanes;
using Flags = int __attribute__((vector_size(32)));

EARBUDGET_INLINE void take_higher(Floats& so_far, const Floats& x) {
    so_far = x > so_far ? x : so_far;
}
EARBUDGET_INLINE void take_lower(Floats& so_far, const Floats& x) {
    so_far = x < so_far ? x : so_far;
}

/// `count` is a multiple of two vectors and not 0.
EARBUDGET_VECTOR_CODE
void scan_extremes(const float* x, std::size_t count, float* lowest, float* highest) {
    Floats low_even, low_odd, here;
    vector_code::load(low_even, x);
    vector_code::load(low_odd, x + lanes);
    Floats high_even = low_even;
    Floats high_odd = low_odd;
    for (std::size_t n = 2 * lanes; n < count; n += 2 * lanes) {
        vector_code::load(here, x + n);
        take_lower(low_even, here);
        take_higher(high_even, here);
        vector_code::load(here, x + n + lanes);
        take_lower(low_odd, here);
        take_higher(high_odd, here);
    }
    take_lower(low_even, low_odd);
    take_higher(high_even, high_odd);
    vector_code::store(lowest, low_even);
    vector_code::store(highest, high_even);
}

/// `count` is a multiple of a vector; two more samples follow.
EARBUDGET_VECTOR_CODE
bool scan_flat(const float* x, std::size_t count, float low, float high) {
    Flags found = {};
    for (std::size_t n = 0; n < count; n += lanes) {
        Floats first, second, third;
        vector_code::load(first, x + n);
        vector_code::load(second, x + n + 1);
        vector_code::load(third, x + n + 2);
        found |= (first == second) & (second == third) & ((first <= low) | (first >= high));
    }
    int any = 0;
    for (int lane = 0; lane < lanes; ++lane)
        any |= found[lane];
    return any != 0;
}

}  // namespace

Extremes extremes_of(std::span<const float> block) {
    Extremes result{block.front(), block.front()};
    const std::size_t in_vectors = block.size() - block.size() % (2 * lanes);
    std::span<const float> rest = block.subspan(in_vectors);
    std::array<float, lanes> lowest;
    std::array<float, lanes> highest;
    if (in_vectors > 0) {
        scan_extremes(block.data(), in_vectors, lowest.data(), highest.data());
        result.lowest = *std::min_element(lowest.begin(), lowest.end());
        result.highest = *std::max_element(highest.begin(), highest.end());
    }
    for (const float x : rest) {
        result.lowest = std::min(result.lowest, x);
        result.highest = std::max(result.highest, x);
    }
    return result;
}

bool has_flat_outside(std::span<const float> block, float low, float high) {
    if (block.size() < 3) return false;
    const std::size_t starts = block.size() - 2;
    const std::size_t in_vectors = starts - starts % lanes;
    if (scan_flat(block.data(), in_vectors, low, high)) return true;
    for (std::size_t n = in_vectors; n < starts; ++n) {
        const float x = block[n];
        if (x == block[n + 1] && x == block[n + 2] && (x <= low || x >= high)) return true;
    }
    return false;
}

}  // namespace earbudget
