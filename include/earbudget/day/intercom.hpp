#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/day/exposure_day.hpp"

namespace earbudget {

/// Speech over the intercom and what is left of the room's noise between runs, both at the ear.
struct IntercomAtEar {
    LevelA speech;
    std::optional<LevelA> residual;  ///< none: the plan states no background
    bool by_average = false;         ///< reduced by the sequences' average: its own data lack

    /// By how much speech stands above the residual noise.
    [[nodiscard]] std::optional<LevelDifference> above_residual() const {
        return residual ? std::optional(speech - *residual) : std::nullopt;
    }
};

/// From this far above the residual noise on instructions are understood (common practice, no
/// source).
inline constexpr LevelDifference understood_from{10.0};

/// Quieter than this at the ear speech is missed even in a quiet room (common practice, no source).
inline constexpr LevelA faintest_speech{50.0};

/// Speech and residual noise under what the person wears, by the day's method. Where either lacks
/// the data of the method, both are reduced alike, by what the day's sequences are reduced by on
/// average. None for others than participants, and without an intercom in the plan.
[[nodiscard]] std::optional<IntercomAtEar> intercom_at_ear(const Plan& plan, const Person& person,
                                                           const std::vector<std::string>& wears,
                                                           const Wearing& wearing,
                                                           const ExposureDay& day);

}  // namespace earbudget
