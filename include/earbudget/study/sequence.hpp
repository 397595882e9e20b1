#pragma once

#include <optional>
#include <string>

#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/study/input_error.hpp"

namespace earbudget {

/// How the levels of a sequence came about, as free text for the reader, and how = "measured" or
/// "entered"; empty where the card does not say.
struct Origin {
    std::string how = {};
    std::string who = {};
    std::string when = {};
    std::string where = {};
    std::string instrument = {};
    std::string recording = {};         ///< file name
    std::string recording_sha256 = {};  ///< of that file, hexadecimal
};

/// What one sequence does to the ear of a person in the scanner: a sequence card.
struct Sequence {
    std::string id;
    std::string title;
    SoundLevels levels;  ///< at the participant's ear position, nobody protected, over one run
    Origin origin = {};
    SourcePosition stated_at = {};  ///< of [levels]
};

/// The largest disagreement between LAeq and the sum of the octave bands that is taken for rounding
/// and for energy away from mid-band.
inline constexpr LevelDifference octave_sum_tolerance{1.0};

/// What contradicts itself in a set of levels, with both numbers; none when nothing does:
/// a level outside −20 to 190 dB, a negative uncertainty, octave bands that do not sum to LAeq,
/// LAeq above LCeq by more than the weightings allow, a peak below the mean.
[[nodiscard]] std::optional<std::string> contradiction_in(const SoundLevels& levels);

}  // namespace earbudget
