#include "measurement/vector/kernels.hpp"

#include "computing/vector/target.hpp"

// Highway compiles this file once for each kind of processor, from the line after foreach_target.
#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "measurement/vector/kernels.cpp"
// clang-format off
#include <hwy/foreach_target.h>
#include <hwy/highway.h>
// clang-format on

HWY_BEFORE_NAMESPACE();
namespace earbudget::vector::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

#include "measurement/vector/lanes.ipp"
#include "measurement/vector/sections.ipp"
#include "measurement/vector/sums.ipp"
#include "measurement/vector/transform.ipp"

const Kernels& all_kernels() {
    static constexpr Kernels table = {
        .high_pass = high_pass,
        .correlate = correlate,
        .sum = sum,
        .squared_deviations = squared_deviations,
        .sums_of_squares = sums_of_squares,
        .narrow = narrow,
        .extremes = extremes,
        .find_crest = find_crest,
        .has_flat_outside = has_flat_outside,
        .dot_product = dot_product,
        .window_eight = window_eight,
        .transform_eight = transform_eight,
        .add_power = add_power,
    };
    return table;
}

}  // namespace earbudget::vector::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE

namespace earbudget::vector {

const Kernels& kernels() {
    static constexpr ForTargets<const Kernels&()> kinds = EARBUDGET_ON_TARGETS(all_kernels);
    return kinds.chosen()();
}

HighPass high_pass_with_pole(double pole) {
    HighPass section{};
    double power = 1.0;
    for (int k = 0; k + 1 < high_pass_reach; ++k, power *= pole)
        section.taps[k] = static_cast<float>((pole - 1.0) * power);
    section.taps[high_pass_reach - 1] = static_cast<float>(-power);
    section.pole_8 = static_cast<float>(power * pole);
    return section;
}

}  // namespace earbudget::vector

#endif
