#pragma once

#include <algorithm>
#include <optional>
#include <span>

#include "earbudget/measurement/meters/sample_source.hpp"
#include "measurement/vector/kernels.hpp"

namespace earbudget {

/// The step by which damage is judged: the format's, but never less than that of 16 bits, since
/// finer formats, too, often hold what was once 16 bits.
inline double judged_step(const std::optional<Quantization>& quantization) {
    constexpr double step_of_16_bits = 1.0 / 32768.0;
    return std::max(quantization ? quantization->step : 0.0, step_of_16_bits);
}

using vector::Extremes;

/// Lowest and highest of at least one sample.
[[nodiscard]] Extremes extremes_of(std::span<const float> block);

/// Whether three consecutive samples anywhere are equal and at `low` or below, or at `high` or
/// above.
[[nodiscard]] bool has_flat_outside(std::span<const float> block, float low, float high);

}  // namespace earbudget
