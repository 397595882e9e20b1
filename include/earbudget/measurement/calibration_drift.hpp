#pragma once

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/measurement/calibrator_tone.hpp"

namespace earbudget {

inline constexpr Formula formula_of_drift{"drift = tone after − tone before",
                                          "ISO 9612:2009 (memory)"};

/// How much higher the calibrator's tone was recorded after a measurement than before.
[[nodiscard]] inline LevelDifference drift_between(const CalibratorTone& before,
                                                   const CalibratorTone& after) {
    return after.level - before.level;
}

/// Whether a drift is within what is accepted; to a hundredth of a decibel, in which it is stated.
[[nodiscard]] inline bool is_accepted_drift(LevelDifference drift) {
    constexpr double half_a_hundredth = 0.005;
    return drift.dB() <= greatest_drift.dB() + half_a_hundredth &&
           drift.dB() >= -greatest_drift.dB() - half_a_hundredth;
}

}  // namespace earbudget
