#pragma once

#include <string>
#include <vector>

#include "earbudget/day/exposure_row.hpp"
#include "earbudget/study/sequence.hpp"

namespace earbudget {

/// The errors of one sound that a level holds.
struct SoundErrors {
    std::string name;               ///< of the sequence, "background", "other noise"
    StatedUncertainty uncertainty;  ///< stated, or by default
    UncertaintyParts parts;
    std::string measurement;          ///< sounds with the same text share instrument and microphone
    LevelDifference sampling{0.0};    ///< that few measurements leave
    LevelDifference difference{0.0};  ///< of the position
    std::string place = {};           ///< sounds with the same text share it
    double share = 1.0;  ///< of the energy of the level, which has so much of the errors
};

/// What a row's position says, its door as during the row's task; the row must have one.
[[nodiscard]] const Transmission& transmission_to(const Plan& plan, const Person& person,
                                                  const ExposureRow& row);

/// Of the level outside the protector, but for ExposureRow::unreduced: a sequence and, at a
/// position, the background there that is added to it. Empty for a row without sound.
[[nodiscard]] std::vector<SoundErrors> level_errors_of(const Plan& plan, const Person& person,
                                                       const ExposureRow& row);

/// Standard uncertainty of a row's own sound at its place, of the level as of the peak: of what
/// states the peak, no background.
[[nodiscard]] LevelDifference uncertainty_of_sound(const Plan& plan, const Person& person,
                                                   const ExposureRow& row);

/// Of ExposureRow::unreduced, which the row must have.
[[nodiscard]] SoundErrors errors_of_unreduced(const Plan& plan, const Person& person,
                                              const ExposureRow& row);

}  // namespace earbudget
