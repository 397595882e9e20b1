#include "earbudget/measurement/mean_square_meter.hpp"

#include <numeric>

namespace earbudget {

void MeanSquareMeter::add(std::span<const double> block) {
    sum_ += std::inner_product(block.begin(), block.end(), block.begin(), 0.0);
    count_ += static_cast<double>(block.size());
}

void VarianceMeter::add(std::span<const double> block) {
    if (block.empty()) return;
    const auto size = static_cast<double>(block.size());
    const double block_mean = std::accumulate(block.begin(), block.end(), 0.0) / size;
    double block_deviation = 0.0;
    for (const double x : block)
        block_deviation += (x - block_mean) * (x - block_mean);

    const double step = block_mean - mean_;
    const double both = count_ + size;
    mean_ += step * size / both;
    deviation_ += block_deviation + step * step * count_ * size / both;
    count_ = both;
}

}  // namespace earbudget
