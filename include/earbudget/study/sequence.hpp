#pragma once

#include <optional>
#include <string>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/study/input_error.hpp"

namespace earbudget {

/// How the levels of a sequence came about, as free text for the reader, and how = "measured",
/// "entered" or "guessed"; empty where the card does not say.
struct Origin {
    std::string how = {};
    std::string who = {};
    std::string when = {};
    std::string where = {};
    std::string subject = {};  ///< what lay in the scanner: "phantom", "person" or "empty"
    std::string timing = {};   ///< of the protocol that was measured, which a level belongs to
    std::string instrument = {};
    std::optional<unsigned> instrument_class = std::nullopt;  ///< 1 or 2 by IEC 61672-1
    std::string calibration = {};                             ///< how decibels came about
    std::string background = {};                     ///< what was taken off, where something was
    std::string uncertainty = {};                    ///< the parts of the uncertainty
    std::string recording = {};                      ///< file name and channel
    std::string recording_sha256 = {};               ///< of that file, hexadecimal
    std::optional<Seconds> duration = std::nullopt;  ///< of what the levels were measured from
};

/// What one sequence does to the ear of a person in the scanner: a sequence card.
struct Sequence {
    std::string id;
    std::string title;
    SoundLevels levels;  ///< at the participant's ear position, nobody protected, over one run
    Origin origin = {};
    /// Whether the background was too close to be taken off, so that LAeq may be lower.
    bool LAeq_is_upper_bound = false;
    SourcePosition stated_at = {};  ///< of [levels]
    /// Id of the card whose octave bands stand for this one's; empty: none asked for.
    std::string spectrum_like = {};
    SourcePosition spectrum_like_at = {};
};

}  // namespace earbudget
