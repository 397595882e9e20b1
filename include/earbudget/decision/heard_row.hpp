#pragma once

#include <cstddef>
#include <optional>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/protection/predict.hpp"

namespace earbudget {

/// What one person hears during one timeline row or task of a session, all its repeats.
struct HeardRow {
    std::optional<std::size_t> sequence;  ///< index into Plan::sequences; none: rest
    std::optional<std::size_t> position;  ///< index into Plan::positions; none: participant
    Seconds time{0.0};                    ///< in one session
    std::optional<SoundLevels> sound = std::nullopt;      ///< unprotected; none: no sound
    std::optional<Prediction> prediction = std::nullopt;  ///< none: nothing worn or unreduced
    std::optional<LevelA> while_worn = std::nullopt;      ///< at the ear under the protector
    std::optional<LevelA> at_ear = std::nullopt;          ///< averaged over the wearing time

    [[nodiscard]] std::optional<LevelA> outside() const {
        return sound ? std::optional(sound->LAeq) : std::nullopt;
    }
};

}  // namespace earbudget
