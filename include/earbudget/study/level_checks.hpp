#pragma once

#include <optional>
#include <string>

#include "earbudget/acoustics/message.hpp"
#include "earbudget/acoustics/sound_levels.hpp"

namespace earbudget {

/// The largest disagreement between LAeq and the sum of the octave bands that is taken for rounding
/// and for energy away from mid-band.
inline constexpr LevelDifference octave_sum_tolerance{1.0};

/// The largest standard uncertainty of a level that is not called a typing error.
inline constexpr LevelDifference highest_uncertainty{30.0};

/// Something in a set of levels that cannot be.
struct Contradiction {
    std::string key;  ///< the one to look at, as in files: "LAeq", "LCpeak", "octave", …
    Message says;     ///< an ObstaclePhrase, with both numbers and what is accepted
};

/// Finds what contradicts itself in a set of levels, none when nothing does: a level outside −20 to
/// 190 dB, a negative uncertainty, octave bands that do not sum to LAeq, LAeq above LCeq or above
/// the unweighted level by more than the weightings allow, LCeq below what the bands give, a peak
/// below the average, low frequencies that are said to be lacking against LC − LA.
[[nodiscard]] std::optional<Contradiction> contradiction_in(const SoundLevels& levels);

}  // namespace earbudget
