#include "earbudget/measurement/peak_meter.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>

namespace earbudget {

namespace {

constexpr std::size_t reach = 20;     // samples on either side of the gap to be filled
constexpr std::size_t phases = 4;     // steps from one sample to the next
constexpr double kaiser_beta = 5.65;  // 60 dB (Kaiser 1974; memory)

// A sample this far below the highest so far, as a part of the signal's range, is not examined: a
// crest exceeds its highest sample by less than 6 dB up to a third of the sampling rate.
constexpr double worth_examining = 0.25;

using Kernel = std::array<double, 2 * reach>;

double kaiser(double x) {
    return std::cyl_bessel_i(0.0, kaiser_beta * std::sqrt(std::max(0.0, 1.0 - x * x))) /
           std::cyl_bessel_i(0.0, kaiser_beta);
}

Kernel kernel_at(double offset) {
    Kernel kernel;
    for (std::size_t k = 0; k < kernel.size(); ++k) {
        const double x = offset + static_cast<double>(reach - 1) - static_cast<double>(k);
        const double angle = std::numbers::pi * x;
        kernel[k] = std::sin(angle) / angle * kaiser(x / static_cast<double>(reach));
    }
    const double sum = std::accumulate(kernel.begin(), kernel.end(), 0.0);
    for (double& tap : kernel)
        tap /= sum;
    return kernel;
}

// Between samples only: element 0 stands a quarter of the way.
const std::array<Kernel, phases - 1>& kernels() {
    static const std::array<Kernel, phases - 1> table = [] {
        std::array<Kernel, phases - 1> result;
        for (std::size_t p = 1; p < phases; ++p) {
            result[p - 1] = kernel_at(static_cast<double>(p) / static_cast<double>(phases));
        }
        return result;
    }();
    return table;
}

}  // namespace

void PeakMeter::add(std::span<const double> block) {
    if (block.empty()) return;
    take_extremes(block);
    recent_.insert(recent_.end(), block.begin(), block.end());
    if (recent_.size() <= 2 * reach) return;
    const std::size_t end = recent_.size() - reach;
    for (std::size_t centre = reach; centre < end; ++centre)
        examine(centre);
    // The next centre is `end`; it needs `reach` samples before itself.
    recent_.erase(recent_.begin(), recent_.begin() + static_cast<std::ptrdiff_t>(end - reach));
}

void PeakMeter::take_extremes(std::span<const double> block) {
    const auto [low, high] = std::minmax_element(block.begin(), block.end());
    lowest_ = empty_ ? *low : std::min(lowest_, *low);
    highest_ = empty_ ? *high : std::max(highest_, *high);
    empty_ = false;
}

void PeakMeter::examine(std::size_t centre) {
    const double before = recent_[centre - 1];
    const double here = recent_[centre];
    const double after = recent_[centre + 1];
    const double margin = worth_examining * (highest_ - lowest_);
    if (here >= before && here >= after && here > highest_ - margin) {
        highest_ = std::max(highest_, crest_near(centre, 1.0));
    } else if (here <= before && here <= after && here < lowest_ + margin) {
        lowest_ = std::min(lowest_, -crest_near(centre, -1.0));
    }
}

double PeakMeter::crest_near(std::size_t centre, double sign) const {
    std::array<double, 2 * phases + 1> values;
    for (std::size_t p = 0; p < phases; ++p) {
        values[p] = sign * between(centre - 1, p);
        values[phases + p] = sign * between(centre, p);
    }
    values.back() = sign * recent_[centre + 1];
    const auto inner_end = values.end() - 1;
    const auto top = std::max_element(values.begin() + 1, inner_end);
    // The parabola through the three highest points finds the crest between them.
    const double left = *(top - 1);
    const double right = *(top + 1);
    const double bend = 2.0 * *top - left - right;
    if (left > *top || right > *top || !(bend > 0.0)) return *top;
    return *top + (right - left) * (right - left) / (8.0 * bend);
}

double PeakMeter::between(std::size_t left, std::size_t phase) const {
    if (phase == 0) return recent_[left];
    const Kernel& kernel = kernels()[phase - 1];
    const double* first = recent_.data() + (left + 1 - reach);
    return std::inner_product(kernel.begin(), kernel.end(), first, 0.0);
}

}  // namespace earbudget
