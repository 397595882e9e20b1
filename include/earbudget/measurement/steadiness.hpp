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

}  // namespace earbudget
