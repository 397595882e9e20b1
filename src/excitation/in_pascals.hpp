#pragma once

#include <cmath>
#include <optional>

#include "earbudget/measurement/calibration/calibration.hpp"

namespace earbudget {

/// Pressures are in pascals: a full-scale sine has an amplitude of 1 Pa.
[[nodiscard]] inline const Calibration& in_pascals() {
    static const Calibration calibration(
        level_of<quantity::Unweighted>(Pressure(std::sqrt(full_scale_mean_square))));
    return calibration;
}

/// None for silence.
template <class Quantity>
[[nodiscard]] std::optional<Level<Quantity>> level_of_pa2(double mean_square) {
    const auto level = level_of_mean_square(mean_square);
    if (!level) return std::nullopt;
    return in_pascals().level<Quantity>(*level);
}

}  // namespace earbudget
