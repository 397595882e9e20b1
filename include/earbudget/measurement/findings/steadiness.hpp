#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/findings/finding.hpp"
#include "earbudget/measurement/meters/time_weighted_meter.hpp"

namespace earbudget {

/// 10 lg of each mean square in dB; silence counts as a mean square of 10⁻¹⁵.
[[nodiscard]] std::vector<double> step_levels(std::span<const float> mean_square);

/// The value that the part `part` (0 to 1) of `values` lies below; `values` has one at least.
[[nodiscard]] double percentile(std::vector<double> values, double part);

/// How far LAeq of a recording depends on which part of an ongoing sound was recorded.
struct Steadiness {
    LevelDifference standard_uncertainty;  ///< of LAeq, k = 1, because the sound varies
    bool steady;                           ///< the uncertainty is 0.3 dB at most; ours
    Seconds enough;  ///< recording time that brings it to 0.2 dB; it falls as 1 / √time
};

/// Takes the recording as a sample of a sound that goes on like this; none of less than 2 s or of
/// digital silence.
///
/// The variance of a mean over time T is the spectral density of the mean square at frequency zero,
/// taken from the periodogram at 1/T to 3/T or to 8/T, whichever tells more (Heidelberger and Welch
/// 1981, Communications of the ACM 24:233; memory). That is what means of batches tell, whose
/// length grows until they no longer depend on one another; but a sound that repeats itself a dozen
/// times or more adds next to nothing here, however its period fits the batches.
///
/// Against the spread of LAeq among many recordings, the root mean square of the results is 0.8 to
/// 1.2 times as great where nothing hangs together over more than 1/30 of the recording, 0.5 to 0.8
/// times where that is a tenth; a single result is uncertain by a quarter. Variation slower than
/// the recording itself is not seen in it; a drift within it is, and makes it unsteady.
[[nodiscard]] std::optional<Steadiness> steadiness_of(const LevelHistory& history);

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
