#include "earbudget/measurement/fir_filter.hpp"

#include <algorithm>
#include <cstddef>
#include <stdexcept>

namespace earbudget {

FirFilter::FirFilter(std::vector<double> impulse_response)
    : impulse_response_(std::move(impulse_response)) {
    if (impulse_response_.empty()) throw std::invalid_argument("an empty impulse response");
    past_and_block_.resize(impulse_response_.size() - 1, 0.0);
}

void FirFilter::process(std::span<double> block) {
    const std::size_t past = impulse_response_.size() - 1;
    past_and_block_.resize(past + block.size());
    std::copy(block.begin(), block.end(),
              past_and_block_.begin() + static_cast<std::ptrdiff_t>(past));
    std::fill(block.begin(), block.end(), 0.0);
    // Tap by tap over the whole block: the inner loop has no dependence and runs in parallel lanes.
    for (std::size_t tap = 0; tap <= past; ++tap) {
        const double h = impulse_response_[tap];
        const double* delayed = past_and_block_.data() + (past - tap);
        for (std::size_t n = 0; n < block.size(); ++n)
            block[n] += h * delayed[n];
    }
    std::copy(past_and_block_.end() - static_cast<std::ptrdiff_t>(past), past_and_block_.end(),
              past_and_block_.begin());
    past_and_block_.resize(past);
}

}  // namespace earbudget
