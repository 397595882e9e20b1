#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/computing/rows.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/exposure/random_draws.hpp"
#include "earbudget/exposure/task_sampling.hpp"
#include "earbudget/protection/predict.hpp"
#include "earbudget/protection/worn.hpp"
#include "earbudget/study/catalogue.hpp"
#include "earbudget/study/position.hpp"
#include "earbudget/study/sequence.hpp"

namespace earbudget {

/// Whom to call about hearing or noise, as free text; what is not stated is empty.
struct Contact {
    std::string name = {};
    std::string role = {};
    std::string phone = {};
};

/// Below this at the ear protection is more than useful (EN 458; memory).
inline constexpr LevelA useful_from_by_EN_458{70.0};

/// A peak that no card states is taken to be at most so far above LAeq (own choice: measured
/// sequences lie 10 to 20 dB above; a knock on the microphone more).
inline constexpr LevelDifference peak_at_most_above_LAeq_by_default{25.0};

/// What the facility has decided, for everyone or for one person.
struct Policy {
    PredictionRules rules = {};
    std::vector<Criterion> criteria = {};
    bool criteria_by_default = false;  ///< the plan names none, so these are those of the role
    /// Where a criterion allows it, a week's average stands for the daily level of a person whose
    /// days a week are stated: the reader then puts averaged_over_week in `criteria`.
    bool weekly_average = false;
    bool speech_must_be_heard = false;  ///< instructions over the intercom must stay audible
    /// Level at the ear below which protection is more than useful: a facility may choose, since
    /// German and British guidance take 70, others 75.
    LevelA least_useful = useful_from_by_EN_458;
    /// The probability of being over that a verdict of "within" may have.
    double accepted_probability = accepted_probability_by_default;
    /// By how much a peak that no card states is at most above LAeq; none: nothing is assumed.
    std::optional<LevelDifference> peak_at_most_above_LAeq = peak_at_most_above_LAeq_by_default;
    SourcePosition stated_at = {};  ///< of the method, to be named when it cannot be used
};

/// Where the duration of a run in a timeline comes from that was taken from scans that exist.
enum class DurationSource { ScansTable, AcquisitionDuration, Volumes, VolumeTiming, NextStart, Stated };

/// Its name in files, and what it says of the run, for people.
struct DurationSourceRow {
    DurationSource key;
    std::string_view name;
};
inline constexpr auto duration_sources = rows_of<DurationSourceRow>(
    {{DurationSource::ScansTable, "scans-table"},
     {DurationSource::AcquisitionDuration, "AcquisitionDuration"},
     {DurationSource::Volumes, "volumes"},
     {DurationSource::VolumeTiming, "VolumeTiming"},
     {DurationSource::NextStart, "next-start"},
     {DurationSource::Stated, "stated"}});

/// One row of the protocol: a sequence, or a rest with nothing running.
struct TimelineRow {
    std::optional<std::size_t> sequence;  ///< index into Plan::sequences; none: rest
    Seconds duration{0.0};                ///< of one run
    unsigned repeat = 1;
    SourcePosition stated_at = {};
    bool reinsert = false;  ///< a rest in which protectors are taken out and put in again
    /// Of a run that was found among scans that exist; none: as planned.
    std::optional<DurationSource> duration_from = std::nullopt;

    [[nodiscard]] Seconds time() const { return static_cast<double>(repeat) * duration; }
};

/// A part of a person's day at one place: the whole timeline or all runs of one sequence in it,
/// some time of one sequence, some time with nothing running, or other noise with levels of its
/// own.
struct Task {
    std::string title = {};                              ///< for people, possibly empty
    std::optional<std::size_t> position = std::nullopt;  ///< index into Plan::positions; none: the
                                                         ///< participant's ear position
    bool door_open = false;                              ///< of the position
    std::optional<Seconds> duration = std::nullopt;      ///< none: as the timeline says
    /// Running for that time, or the part of the timeline that is heard; none: nothing, or all.
    std::optional<std::size_t> sequence = std::nullopt;
    std::optional<SoundLevels> levels = std::nullopt;  ///< other noise, as heard there
    /// Measurements of that noise, whose energy average `levels` has; empty: not stated.
    std::vector<LevelA> LAeq_samples = {};
    std::optional<DurationRange> duration_range = std::nullopt;    ///< about `duration`
    bool once_a_day = false;                                       ///< else once a session
    std::optional<std::vector<std::string>> wears = std::nullopt;  ///< none: what the person wears
    Wearing wearing = {};                                          ///< of `wears`
    double worn_uncertainty = 0.0;                                 ///< of `wearing`, as a person's
    SourcePosition stated_at = {};
};

/// What a person agrees to wear.
enum class WearsOnly { Anything, Plugs, Earmuffs };

inline constexpr auto wears_only = rows_of<NameRow<WearsOnly>>({
    {WearsOnly::Anything, "anything"},  // where a file names none of the others
    {WearsOnly::Plugs, "plugs"},
    {WearsOnly::Earmuffs, "earmuffs"},
});

/// How old somebody is, as far as ears, protectors and limits go by it; from the oldest.
enum class AgeGroup { Adult, Teenager, Child, Neonate };

struct AgeGroupRow {
    AgeGroup key;
    std::string_view name;   ///< as written in files and options
    std::string_view words;  ///< for sentences
};

inline constexpr auto age_groups = rows_of<AgeGroupRow>({
    {AgeGroup::Adult, "adult", "an adult"},
    {AgeGroup::Teenager, "teenager", "a teenager"},
    {AgeGroup::Child, "child", "a child"},
    {AgeGroup::Neonate, "neonate", "a neonate"},
});

/// As written in files and options: "adult", "teenager", "child", "neonate".
[[nodiscard]] constexpr std::string_view name_of(AgeGroup group) { return age_groups[group].name; }

/// For sentences: "an adult", "a teenager", "a child", "a neonate".
[[nodiscard]] constexpr std::string_view words_of(AgeGroup group) {
    return age_groups[group].words;
}

enum class Ear { Left, Right };

inline constexpr auto ears = rows_of<NameRow<Ear>>({
    {Ear::Left, "left"},
    {Ear::Right, "right"},
});

/// As written in files: "left", "right".
[[nodiscard]] constexpr std::string_view name_of(Ear ear) { return ears[ear].name; }

/// A person of the plan.
struct Person {
    std::string id;
    Role role = Role::Participant;
    std::vector<std::string> wears = {};
    Wearing wearing = {};
    std::optional<LevelDifference> PAR = std::nullopt;  ///< of this person's own fit test
    /// Standard uncertainty (k = 1) of PAR, over insertions of this person; none: not stated.
    std::optional<LevelDifference> PAR_uncertainty = std::nullopt;
    /// Standard uncertainty (k = 1) of what the protector gives from one insertion to the next,
    /// where no fit test says.
    LevelDifference fit_uncertainty{0.0};
    /// Standard uncertainty (k = 1) of the fraction of time worn, but for tasks with protectors of
    /// their own.
    double worn_uncertainty = 0.0;
    std::vector<std::string> cannot_wear = {};  ///< ids that do not fit this person
    WearsOnly only = WearsOnly::Anything;
    std::optional<CanalSize> canal = std::nullopt;  ///< none: not looked at
    unsigned sessions_per_day = 1;
    std::optional<double> days_per_week = std::nullopt;  ///< none: not stated, taken as one
    std::optional<unsigned> visits = std::nullopt;       ///< days of the study in all
    /// What staff and accompanying persons hear; a participant hears the timeline and these too.
    std::vector<Task> tasks = {};
    Policy policy = {};  ///< the facility's, with this person's own choices
    SourcePosition stated_at = {};
    std::string title = {}, note = {};  ///< for people, possibly empty
    std::optional<AgeGroup> age_group = std::nullopt;  ///< none: not stated, taken as an adult
    // What the unit's physician is asked about; never changes a figure.
    bool pregnant_staff = false, tinnitus_or_hyperacusis = false, hearing_device = false;
    /// That nothing can be put into: only an earmuff reaches it.
    std::optional<Ear> unfitted_ear = std::nullopt;
    /// Ids of protectors that nobody else may wear (CatalogueEntry::owner).
    std::vector<std::string> own_protectors = {};
    std::vector<std::string> instead = {};  ///< what is handed out where `wears` does not seat
};

/// A protocol with the people who hear it: all that a verdict needs.
struct Plan {
    std::string title;
    std::vector<Sequence> sequences = {};
    Catalogue catalogue = {};
    std::optional<SoundLevels> background = std::nullopt;
    /// Speech over the intercom at the participant's ear position, nobody protected.
    std::optional<SoundLevels> intercom = std::nullopt;
    std::vector<Position> positions = {};
    std::vector<TimelineRow> timeline = {};
    std::vector<Person> people = {};
    DrawSettings draws = {};  ///< by which probabilities are found
    std::string date = {};    ///< YYYY-MM-DD of the day it is looked at; empty: not known
    /// Files read that say that their figures are examples.
    std::vector<std::string> examples = {};
    SourcePosition background_stated_at = {};
};

}  // namespace earbudget
