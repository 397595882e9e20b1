#pragma once

#include <cstddef>
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

/// Short bursts that do not belong to the sound recorded.
struct Interference {
    std::size_t count = 0;           ///< bursts
    Seconds first{0.0};              ///< where the first begins; meaningless without any
    LevelDifference raises_LAeq_by;  ///< LAeq of all steps above LAeq without the bursts' steps
};

/// Finds a dropped tool, a door, crackle of radio frequency. The rule, ours:
///
/// - A burst is a group of steps, 0.25 s long at most, each of which stands 10 dB and more above
///   85 % of the steps within 2 s of it. What touches the start or the end of the recording is
///   none: its length is unknown.
/// - Bursts must be rare: in the 30 s around each, steps come within 10 dB of it at no more than
/// two
///   times 2 s apart (one, in a recording of less than 30 s), itself among them; and no burst
///   within 15 s fails this. A sound that pulses every second or every few seconds is no
///   interference. A burst close to a louder sequence is not found; there it hardly counts.
/// - Four bursts or more at equal times from one another, or at multiples of one time, belong to
///   the sound: then none is interference.
///
/// A recording so short that a pulse of the sound occurs in it only once cannot be told from one
/// with a burst. None is found in less than 4 s.
[[nodiscard]] Interference find_interference(const LevelHistory& history);

/// The stroke of the pump that keeps the magnet's helium cold, heard all the time in the
/// background.
struct PumpRhythm {
    Seconds period;         ///< from stroke to stroke, 0.25 s to 1 s
    LevelDifference swing;  ///< highest minus lowest level of the mean stroke, in steps of about
                            ///< 50 ms: shorter strokes swing more than this
};

/// The rhythm of 1 to 4 strokes a second that stands out of chance; none where there is none.
///
/// The levels of the steps are searched for spectral lines: a fundamental and up to three harmonics
/// are weighed against the spectrum on both sides of each. Chance is meant to do as much once in a
/// million recordings of random sound. A recording below 8 s, a swing below 0.5 dB (steady low
/// tones, too, ripple by up to 0.45 dB from step to step) and a harmonic of a slower rhythm give
/// none. Any lasting rhythm of 1 Hz to 4 Hz counts, also of something other than a pump. Of long
/// recordings the first ten minutes are judged.
///
/// In 5 min with a swing of 2 dB in noise of 1.1 dB a step the period is accurate to 0.003 % at two
/// strokes a second (9 ms in all) and to 0.01 % at one, k = 1. In 10 s with 5 dB it is accurate to
/// 0.25 %; 2 dB are then not yet found.
[[nodiscard]] std::optional<PumpRhythm> find_pump_rhythm(const LevelHistory& history);

/// The longest whole number of strokes not above `duration`; 0 s below one stroke.
[[nodiscard]] Seconds whole_strokes(const PumpRhythm& rhythm, Seconds duration);

}  // namespace earbudget
