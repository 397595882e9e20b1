#pragma once

#include <cmath>
#include <optional>

#include "earbudget/acoustics/level.hpp"

namespace earbudget {

/// Mean square of a sine whose crests just reach full scale, ±1: the reference of LevelFS.
inline constexpr double full_scale_mean_square = 0.5;

/// Level of a mean square, or of the square of a peak, re a full-scale sine; none for silence.
[[nodiscard]] inline std::optional<LevelFS> level_of_mean_square(double mean_square) {
    const double ratio = mean_square / full_scale_mean_square;
    if (!std::isnormal(ratio) || ratio < 0.0) return std::nullopt;
    return LevelFS(10.0 * std::log10(ratio));
}

}  // namespace earbudget
