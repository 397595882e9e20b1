#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/measurement/finding.hpp"

namespace earbudget {

/// By how much a compression that loses something may change a level: own choice, after 0.3 to
/// 0.5 dB that were found (docs/measuring.md). A part of the uncertainty.
inline constexpr LevelDifference change_by_lossy_compression{0.5};

/// What is known of a recording besides its samples.
struct SourceState {
    bool lossy = false;                     ///< compressed with a loss
    std::uint64_t bytes_beyond_header = 0;  ///< of samples that its header does not announce
    std::optional<Seconds> time_beyond_header = std::nullopt;  ///< about; none: not known
};

/// Whether a recording's samples are all that it has, or its length was accepted as its header
/// announces it. Of one that is not whole there are no decibels.
[[nodiscard]] bool is_whole(const SourceState& state, bool accept_length);

/// What the reader of the recording's levels must know of its state.
[[nodiscard]] std::vector<Finding> findings_on(const SourceState& state, bool accept_length);

}  // namespace earbudget
