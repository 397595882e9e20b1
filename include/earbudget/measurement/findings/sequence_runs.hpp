#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/findings/steadiness.hpp"
#include "earbudget/measurement/meters/time_weighted_meter.hpp"

namespace earbudget {

/// Steps from `first` to before `end`.
struct Stretch {
    std::size_t first;
    std::size_t end;
};

/// Where levels of steps, in dB, stay well above what lies near the quietest of them; the rule is
/// told at find_sequence_runs.
[[nodiscard]] std::vector<Stretch> loud_stretches(std::span<const double> levels, Seconds step);

/// A recording or run as long as this can stand for any sound: the level of random noise in the
/// 31.5 Hz octave band then has a standard error of 0.29 dB, 4.34 dB / sqrt(bandwidth · time).
inline constexpr Seconds enough_for_any_sound{10.0};

/// A loud sequence within the recording of a session.
struct SequenceRun {
    Seconds start;       ///< from the recording's start; between two steps
    Seconds end;         ///< likewise
    double mean_square;  ///< A-weighted, re full scale as in LevelHistory, mean over its steps
    /// Its LAeq above that of the steps outside all runs; none if nothing sounds outside.
    std::optional<LevelDifference> above_background;
    bool begins_before;                    ///< it was going on when the recording began
    bool ends_after;                       ///< it went on when the recording ended
    bool long_enough;                      ///< 10 s or more
    bool steady;                           ///< as Steadiness has it
    std::optional<Steadiness> steadiness;  ///< of the run alone; always there above 2 s
};

/// When sequences play in the recording of a session, in order of time.
///
/// The levels of the steps are smoothed over a second and a half, which evens out the pump. The
/// background is what lies near the quietest of that. A run begins where the smoothed level comes 5
/// dB above the background and ends where it falls below 3 dB above; its start and its end are then
/// sought among the steps, and are right to 0.1 s for a sequence 10 dB above the background and
/// more that sounds half of the time at least. Runs below 2 s are no sequences and are left out.
///
/// What is quiet for less than 1.5 s does not divide a run: sequences fall silent between volumes.
/// Two sequences less than 1.5 s apart are therefore one run, whatever their levels; one of two
/// levels is not steady. Quiet for 3 s and more always divides.
///
/// A recording that never falls to the background has no run: nothing in it tells a sequence from a
/// loud room. One in which a sequence pulses down to the background all the time is one run.
/// Everything else that is 10 dB above the background for 2 s, such as talk, is a run, too.
[[nodiscard]] std::vector<SequenceRun> find_sequence_runs(const LevelHistory& history);

}  // namespace earbudget
