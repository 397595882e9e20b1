#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/protection/predict.hpp"
#include "earbudget/study/plan.hpp"
#include "earbudget/study/result.hpp"

namespace earbudget {

/// What one person hears during one timeline row or task, all its repeats.
struct ExposureRow {
    std::optional<std::size_t> sequence = std::nullopt;  ///< index into Plan::sequences; none: rest
    std::optional<std::size_t> position = std::nullopt;  ///< index into Plan::positions
    std::optional<std::size_t> task = std::nullopt;      ///< index into Person::tasks
    std::optional<std::size_t> timeline_row = std::nullopt;  ///< index into Plan::timeline
    Seconds time{0.0};                                       ///< in one session, or in a day
    unsigned repeat = 1;                                     ///< runs in that time
    bool once_a_day = false;                                 ///< else once a session
    bool reinsert = false;  ///< protectors are put in anew after this row
    std::shared_ptr<const SoundLevels> sound =
        nullptr;  ///< unprotected, shared by rows; null: none
    /// Background there that lacks what the sound has: added at the ear, unreduced.
    std::optional<LevelA> unreduced = std::nullopt;
    /// Shared by rows that sound alike; null: nothing worn or unreduced.
    std::shared_ptr<const Prediction> prediction = nullptr;
    std::optional<LevelA> while_worn = std::nullopt;  ///< at the ear under the protector
    std::optional<LevelA> at_ear = std::nullopt;      ///< averaged over the wearing time
    bool with_protector = false;                      ///< something is worn
    double fraction_worn = 1.0;
    bool poor_fit = false;
    bool wearing_apart = false;  ///< time with and without counts apart though nothing is predicted

    /// Whether something is worn against this sound that no method can predict, so that it counts
    /// unreduced.
    [[nodiscard]] bool is_unreached() const {
        return with_protector && sound && !prediction && fraction_worn > 0.0;
    }
    [[nodiscard]] std::optional<LevelA> outside() const {
        if (!sound || !unreduced) return sound ? std::optional(sound->LAeq) : std::nullopt;
        return with_unreduced(sound->LAeq);
    }
    /// Whether both last as long as the same row of the plan says: whoever changes one changes
    /// both.
    [[nodiscard]] bool is_same_plan_row(const ExposureRow& other) const {
        return timeline_row && timeline_row == other.timeline_row;
    }
    /// A level at the ear with the unreduced background.
    [[nodiscard]] LevelA with_unreduced(LevelA level) const;
    /// A level at the ear without it.
    [[nodiscard]] LevelA without_unreduced(LevelA level) const;
    [[nodiscard]] Seconds run() const { return time / static_cast<double>(repeat); }
};

/// How many rows a person's day has.
[[nodiscard]] std::size_t number_of_rows(const Plan& plan, const Person& person);

/// The rows of a person's day outside the protector: what is heard once a day first, then one
/// session: a participant's timeline and tasks, the tasks of others. An obstacle is a position that
/// says nothing about a sequence without octave bands.
[[nodiscard]] Result<std::vector<ExposureRow>> unprotected_rows(const Plan& plan,
                                                                const Person& person);

}  // namespace earbudget
