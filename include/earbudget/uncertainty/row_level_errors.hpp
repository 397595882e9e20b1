#pragma once

#include <string>
#include <vector>

#include "earbudget/computing/solver.hpp"
#include "earbudget/day/exposure_day.hpp"
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

/// Rows of a day that last a fixed time and a part of one time T that varies: fixed + part·T.
struct VariableTimes {
    std::vector<Seconds> fixed;
    std::vector<double> part;

    [[nodiscard]] std::vector<Seconds> lasting(Seconds time) const;
};

/// Lets one row alone vary.
[[nodiscard]] VariableTimes one_row(const ExposureDay& day, std::size_t row);

/// Lets the rows with a sequence vary in proportion, T being their time together.
[[nodiscard]] VariableTimes all_sequences(const ExposureDay& day);

/// How long the rows with a sequence last together in a session.
[[nodiscard]] Seconds time_of_sequences(const ExposureDay& day);

/// The times T below `most` with which an hour fits exactly between two row ends of the day: only
/// there can the highest hour begin to rise or fall otherwise.
[[nodiscard]] std::vector<Seconds> times_of_whole_hours(const VariableTimes& variable,
                                                        const std::vector<std::size_t>& course,
                                                        Seconds most);

/// How near the longest time is found where a highest hour decides: less than what is rounded off.
inline constexpr Tolerance<Seconds> near_in_time{Seconds(1e-5)};

/// The time rounded down to a thousandth of a second, so that what is printed still keeps the
/// limit; what is not bounded by a limit stays as it is.
[[nodiscard]] Seconds rounded_down(Seconds time, Seconds most);

}  // namespace earbudget
