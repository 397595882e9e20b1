#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/computing/rows.hpp"
#include "sessions/judged.hpp"

namespace earbudget::sessions {

/// A run that could come next.
struct RunAsked {
    std::string id;                   ///< of the sequence
    Seconds time{0.0};                ///< of one run
    SharedRecord exposure = nullptr;  ///< as worn now; null: how loud it would be is not known
    std::string why_unknown = {};
};

/// Each sequence of the plan's timeline, as long as it lasts there first, as heard by the person,
/// who wears what is worn now (wearing_now).
[[nodiscard]] std::vector<RunAsked> runs_of_plan(const Plan& plan, const Person& worn,
                                                 const Provenance& provenance);
/// The same of one sequence, as of a card that was added (add_card).
[[nodiscard]] RunAsked run_of(const Plan& plan, const Person& worn, std::size_t sequence,
                              Seconds time, const Provenance& provenance);

/// What keeps more runs from fitting.
enum class Limiting {
    Nothing,       ///< but the 24 hours of a day
    Exposure,      ///< a limit on the exposure
    Peak,          ///< a limit on peaks, which no time changes
    PeakUnknown,   ///< no peak is stated, nor bounded
    Metal,         ///< what is worn at the magnet is not free of it
    Stopped,       ///< pain, ringing or dulled hearing that nobody has cleared
    LevelUnknown,  ///< of the run itself
    HeardUnknown,  ///< of something heard before
    NoMethod,      ///< what is worn has no data, so that it counts unreduced, and is then over
    NoLimit        ///< no limit is known for the person
};
inline constexpr auto limiting_rows = rows_of<NameRow<Limiting>>({
    {Limiting::Nothing, "nothing"},
    {Limiting::Exposure, "exposure"},
    {Limiting::Peak, "peak"},
    {Limiting::PeakUnknown, "peak-unknown"},
    {Limiting::Metal, "metal"},
    {Limiting::Stopped, "stopped"},
    {Limiting::LevelUnknown, "level-unknown"},
    {Limiting::HeardUnknown, "heard-unknown"},
    {Limiting::NoMethod, "no-method"},
    {Limiting::NoLimit, "no-limit"},
});

/// How often one sequence still fits, right after another, from now on.
struct RunsLeft {
    std::string id;
    Seconds time{0.0};
    unsigned runs = 0;           ///< with no limit over with more than the accepted probability
    unsigned best_estimate = 0;  ///< by the best estimate, never fewer
    Limiting limiting = Limiting::Nothing;
    std::string limited_by = {};  ///< id of the criterion, where one is what limits
    std::string why_unknown = {};
};

/// The answer to "may I run that again?".
struct Next {
    std::vector<RunsLeft> sequences = {};
    std::shared_ptr<const Judged> so_far =
        nullptr;  ///< against all criteria, as things stand; the hour before counts across midnight
    std::optional<HeardEvent> stop = std::nullopt;
    std::vector<std::int64_t> unconfirmed =
        {};  ///< entries of the week, runs whose end is not stated
};

/// Asks for each run how often it still fits, given all that the person heard on this day and in
/// the windows of a week, in whatever study. The criteria are those of the runs that are asked
/// about and of what was recorded in the same role. What goes on counts as over before the next
/// begins. Runs are counted for this day also where they would last beyond midnight: the safe side.
[[nodiscard]] Next next_runs(const HeardByPerson& heard, const std::vector<RunAsked>& runs,
                             Role role, std::int64_t session, Instant now, Judge& judge);

}  // namespace earbudget::sessions
