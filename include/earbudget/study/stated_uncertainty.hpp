#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "earbudget/study/sequence.hpp"

namespace earbudget {

/// Standard uncertainties of measured levels (ISO 9612:2009, tables C.5 and C.6: u2 and u3;
/// memory).
inline constexpr LevelDifference uncertainty_of_class_1{0.7};
inline constexpr LevelDifference uncertainty_of_other_instruments{1.5};
inline constexpr LevelDifference uncertainty_of_position{1.0};

/// The standard uncertainty of a level and where it comes from.
struct StatedUncertainty {
    /// Parts as stated; a whole without parts counts as the instrument's, shared by all that one
    /// measurement found.
    UncertaintyParts parts;
    LevelDifference whole;
    std::string source;       ///< for people: "stated on the card", "default: …"
    bool is_default = false;  ///< nothing was stated
};

/// That of a card, else a default by how the card came about: measured, 0.7 dB of a class 1
/// instrument or 1.5 dB of any other with 1.0 dB of the microphone's position (ISO 9612, annex C;
/// memory); entered from a document 3 dB; guessed, or without origin, 5 dB (both own choice).
[[nodiscard]] StatedUncertainty stated_or_default_uncertainty(const Sequence& card);

/// The same of levels and how they came about.
[[nodiscard]] StatedUncertainty stated_or_default_uncertainty(const SoundLevels& levels,
                                                              const Origin& origin);

/// That of levels that stand in a plan, a background or a task's own: 3 dB where not stated.
[[nodiscard]] StatedUncertainty stated_or_default_uncertainty_in_plan(const SoundLevels& levels);

/// What cards of one measurement have in common: who, when and instrument. Levels without an origin
/// count as one measurement.
[[nodiscard]] std::string measurement_of(const Origin& origin);

}  // namespace earbudget
