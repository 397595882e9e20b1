#include "earbudget/measurement/clipping_meter.hpp"

#include <cmath>
#include <limits>

namespace earbudget {

namespace {

constexpr std::uint64_t shortest_stretch = 3;
constexpr double flat_from = 0.999;  // 0.01 dB below full scale

}  // namespace

ClippingMeter::ClippingMeter(std::optional<Quantization> quantization)
    : full_scale_(quantization ? quantization->largest_code - 0.5 * quantization->step
                               : std::numeric_limits<double>::infinity()) {}

void ClippingMeter::add(std::span<const double> block) {
    for (const double x : block) {
        const double magnitude = std::abs(x);
        at_end_of_scale_ = magnitude >= full_scale_ ? at_end_of_scale_ + 1 : 0;
        if (magnitude < flat_from) {
            equal_ = 0;
        } else {
            equal_ = x == previous_ ? equal_ + 1 : 1;
        }
        previous_ = x;
        const bool clipped = at_end_of_scale_ >= shortest_stretch || equal_ >= shortest_stretch;
        if (clipped && !in_stretch_) {
            if (clipping_.stretches == 0) clipping_.first_sample = position_ + 1 - shortest_stretch;
            ++clipping_.stretches;
        }
        in_stretch_ = clipped;
        ++position_;
    }
}

}  // namespace earbudget
