// Compiled once for every kind of processor; EARBUDGET_KERNELS is the name of the table.
#include "measurement/vector/kernels.hpp"

namespace earbudget::vector {

namespace {

#include "measurement/vector/lanes.ipp"
#include "measurement/vector/sections.ipp"
#include "measurement/vector/sums.ipp"
#include "measurement/vector/transform.ipp"

}  // namespace

extern const Kernels EARBUDGET_KERNELS;
const Kernels EARBUDGET_KERNELS = {
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

}  // namespace earbudget::vector
