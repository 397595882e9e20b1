#include "measurement/vector/kernels.hpp"

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

HWY_EXPORT(all_kernels);

const Kernels& kernels() { return HWY_DYNAMIC_DISPATCH(all_kernels)(); }

}  // namespace earbudget::vector

#endif
