#include "earbudget/measurement/meters/mean_square_meter.hpp"

#include <algorithm>
#include <cstddef>

#include "measurement/meters/block_scan.hpp"
#include "measurement/vector/kernels.hpp"

namespace earbudget {

namespace {

// Eight sums of at most 512 terms.
constexpr std::size_t longest_sum = 4096;

}  // namespace

double sum_of_squares(std::span<const float> block) {
    double sum = 0.0;
    while (!block.empty()) {
        const auto part = block.first(std::min(block.size(), longest_sum));
        sum += vector::kernels().squared_deviations(part.data(), part.size(), 0.0F);
        block = block.subspan(part.size());
    }
    return sum;
}

void MeanSquareMeter::add(std::span<const float> block) {
    sum_ += sum_of_squares(block);
    count_ += static_cast<double>(block.size());
}

void VarianceMeter::add(std::span<const float> block) {
    while (!block.empty()) {
        const auto part = block.first(std::min(block.size(), longest_sum));
        merge(part);
        block = block.subspan(part.size());
    }
}

void VarianceMeter::merge(std::span<const float> part) {
    const auto size = static_cast<double>(part.size());
    const double sum = vector::kernels().sum(part.data(), part.size());
    // Deviations from a rounded mean, and what the rounding adds taken off again.
    const auto rounded = static_cast<float>(sum / size);
    const double rest = sum / size - static_cast<double>(rounded);
    const double part_deviation =
        vector::kernels().squared_deviations(part.data(), part.size(), rounded) -
        size * rest * rest;

    const double step = sum / size - mean_;
    const double both = count_ + size;
    mean_ += step * size / both;
    deviation_ += part_deviation + step * step * count_ * size / both;
    count_ = both;
}

Extremes extremes_of(std::span<const float> block) {
    return vector::kernels().extremes(block.data(), block.size());
}

bool has_flat_outside(std::span<const float> block, float low, float high) {
    return block.size() >= 3 &&
           vector::kernels().has_flat_outside(block.data(), block.size() - 2, low, high);
}

}  // namespace earbudget
