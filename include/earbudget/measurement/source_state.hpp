#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/measurement/finding.hpp"

namespace earbudget {

/// By how much a compression that loses something may change LAeq: companding to eight bits, one
/// for sound of any kind, one made for speech. Own choices, no less than the most that was measured
/// (docs/measuring.md). A part of the uncertainty, as half-width.
inline constexpr LevelDifference change_by_companding{0.5};
inline constexpr LevelDifference change_by_lossy_compression{1.5};
inline constexpr LevelDifference change_by_speech_compression{4.0};

/// What is known of a recording besides its samples.
struct SourceState {
    /// By how much its compression may have changed LAeq; none: without a loss.
    std::optional<LevelDifference> loss = std::nullopt;
    std::uint64_t bytes_beyond_header = 0;  ///< of samples that its header does not announce
    std::optional<Seconds> time_beyond_header = std::nullopt;  ///< about; none: not known
    /// False where samples have no size of their own: what is read may then be more than the header
    /// announces, so that its length cannot be accepted.
    bool announced_alone_is_read = true;
};

/// Whether a recording's samples are all that it has, or its length was accepted as its header
/// announces it and nothing else is read. Of one that is not whole there are no decibels.
[[nodiscard]] bool is_whole(const SourceState& state, bool accept_length);

/// The state of two recordings as if they were one: the greater loss, whatever either has behind.
[[nodiscard]] SourceState both(const SourceState& a, const SourceState& b);

/// What the reader of the recording's levels must know of its state.
[[nodiscard]] std::vector<Finding> findings_on(const SourceState& state, bool accept_length);

}  // namespace earbudget
