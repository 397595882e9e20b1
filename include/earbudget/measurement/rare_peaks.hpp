#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/acoustics/level_difference.hpp"

namespace earbudget {

/// A few peaks far above all the rest: clicks, a knock on the microphone, crackle of radio
/// frequency.
struct RarePeaks {
    std::size_t count = 0;           ///< stretches that hold one
    Seconds first{0.0};              ///< where the first of these begins
    LevelDifference above_the_rest;  ///< of the highest, above the highest of all others
};

/// Looks at the highest absolute value in each of many short, equal stretches. The rule, ours: a
/// peak stands out when it is 6 dB above what nine stretches in ten stay below; rare are one in a
/// hundred or fewer. None in less than a hundred stretches: a pulse of the sound may then occur
/// once.
[[nodiscard]] std::optional<RarePeaks> find_rare_peaks(std::span<const float> peaks,
                                                       Seconds stretch);

}  // namespace earbudget
