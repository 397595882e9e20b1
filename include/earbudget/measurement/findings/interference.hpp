#pragma once

#include <cstddef>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/meters/time_weighted_meter.hpp"

namespace earbudget {

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

}  // namespace earbudget
