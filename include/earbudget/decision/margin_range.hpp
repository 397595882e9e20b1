#pragma once

#include <optional>

#include "earbudget/decision/assessment.hpp"

namespace earbudget {

/// How far a margin reaches with its uncertainty.
struct MarginRange {
    LevelDifference low;   ///< of the margin: a smaller one has a probability of 5 %
    LevelDifference high;  ///< likewise a larger one
};

/// The margin of an exposure limit with every level raised and lowered by confident_deviations() of
/// its standard uncertainty; none for peaks, without sound, and where an uncertainty that matters
/// is not stated. The only place that turns a result's uncertainty into a bar.
[[nodiscard]] std::optional<MarginRange> margin_range(const PersonResult& result,
                                                      const CriterionResult& criterion);

}  // namespace earbudget
