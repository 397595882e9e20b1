#pragma once

#include <optional>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/measurement/level_history.hpp"

namespace earbudget {

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
/// taken from the periodogram at 1/T to 5/T or to 10/T, whichever tells more (Heidelberger and
/// Welch 1981, Communications of the ACM 24:233; memory; batch means of T/20 to T/10 tell the same
/// of random sound). So what hangs together over up to a tenth of the recording is accounted for,
/// and a sound that repeats itself more than a dozen times adds next to nothing. Variation slower
/// than the recording itself is not seen in it; a drift within it is, and makes it unsteady.
///
/// The square root of the mean square of results over many recordings is 1.0 to 1.3 times the
/// spread of LAeq among them; a single result is uncertain by about a quarter.
[[nodiscard]] std::optional<Steadiness> steadiness_of(const LevelHistory& history);

}  // namespace earbudget
