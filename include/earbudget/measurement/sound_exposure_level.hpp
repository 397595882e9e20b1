#pragma once

#include <cmath>
#include <optional>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/acoustics/formula.hpp"
#include "earbudget/acoustics/level.hpp"

namespace earbudget {

namespace quantity {

/// A-weighted sound exposure, ∫ p² dt, re (20 µPa)² · 1 s: no mean square, so it never mixes with
/// LAeq.
struct AWeightedExposure {
    static constexpr bool is_mean_square = false;
};

}  // namespace quantity

/// A-weighted sound exposure level LAE (IEC 61672-1, 3.14; clause from memory).
using ExposureLevelA = Level<quantity::AWeightedExposure>;

inline constexpr Formula formula_of_LAE{"LAE = LAeq + 10 lg(T / 1 s)",
                                        "IEC 61672-1:2013, 3.14 (clause from memory)"};

/// LAE = LAeq + 10 lg(time / 1 s); none without time.
[[nodiscard]] inline std::optional<ExposureLevelA> sound_exposure_level(LevelA LAeq, Seconds time) {
    if (!(time.count() > 0.0)) return std::nullopt;
    return ExposureLevelA(LAeq.dB() + 10.0 * std::log10(time.count()));
}

}  // namespace earbudget
