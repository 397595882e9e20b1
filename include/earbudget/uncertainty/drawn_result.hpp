#pragma once

#include <cstddef>
#include <optional>

#include "earbudget/acoustics/level.hpp"

namespace earbudget {

/// How far a margin reaches with its uncertainty.
struct MarginRange {
    LevelDifference low;   ///< a smaller one has a probability of 5 %
    LevelDifference high;  ///< likewise a larger one; at least, where that counts nothing
};

/// How one criterion comes out over all draws of a day (DrawnDay).
struct DrawnResult {
    double probability_over = 0.0;
    /// What 95 % of the draws do not exceed, in the criterion's unit; none without sound.
    std::optional<double> not_exceeded = std::nullopt;
    /// From what 95 % of the draws do not exceed to what 95 % do; none where that is nothing.
    std::optional<MarginRange> margin_range = std::nullopt;
    std::size_t draws = 0;  ///< behind it
};

}  // namespace earbudget
