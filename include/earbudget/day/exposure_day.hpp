#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/day/exposure_row.hpp"
#include "earbudget/day/warning.hpp"
#include "earbudget/exposure/exposure_part.hpp"
#include "earbudget/study/plan.hpp"

namespace earbudget {

/// A row's sound outside the protector, at the ear averaged over the wearing time, or at the ear
/// with the time with and without the protector apart.
enum class ExposureAt { Outside, AtEar, AtEarByWearing };

/// Adds the parts of one row, heard once.
void add_parts(const ExposureRow& row, ExposureAt as, std::vector<ExposurePart>& parts);

/// A sound that no method reaches under what is worn.
struct Unreached {
    std::vector<Message> sounds;     ///< sequences, other noise or the background
    std::vector<std::string> wears;  ///< ids
    std::optional<Method> method;    ///< that cannot be used; none: not any
    Message lacks;                   ///< what is missing and what to enter (Unavailable::says)
    bool protector = false;          ///< it is the protector that lacks data
    bool sequence = false;
    std::optional<SourcePosition> where = std::nullopt;

    /// Which method cannot be used, what lacks what and what to enter; of one sound among several
    /// that lack the same "each" is said.
    [[nodiscard]] Message why(bool each = false) const;
};

/// A person's day: what is heard once, then the rows of a session, the session a number of times
/// back to back.
struct ExposureDay {
    std::vector<ExposureRow> rows;
    unsigned sessions = 1;
    double days_per_week = 1.0;  ///< days like this one
    /// By which most of the sound's energy was predicted; none: nothing worn, or nothing reached.
    std::optional<Method> method = std::nullopt;
    Derating derating = {};               ///< as applied; none where nothing is worn
    std::vector<std::string> wears = {};  ///< but for tasks that name what is worn
    Wearing wearing = {};                 ///< of `wears`
    std::vector<Warning> warnings = {};
    std::vector<Unreached> unreached = {};  ///< each once

    /// Whether any sound is predicted by a method.
    [[nodiscard]] bool uses(Method any) const;

    /// The rows of the day in their order, by index into `rows`.
    [[nodiscard]] std::vector<std::size_t> course() const;

    /// How often a row is heard a day.
    [[nodiscard]] unsigned times_a_day(const ExposureRow& row) const {
        return row.once_a_day ? 1U : sessions;
    }

    /// The day as it is outside the protector.
    [[nodiscard]] std::vector<ExposurePart> outside() const;

    /// The day at the ear, each row at its average over the wearing time, in order.
    [[nodiscard]] std::vector<ExposurePart> at_ear() const;

    /// The day at the ear, time with and without the protector apart; for doses, where a threshold
    /// or another exchange rate than 3 dB makes that differ from the average.
    [[nodiscard]] std::vector<ExposurePart> at_ear_by_wearing() const;
};

/// What a person of the plan hears, wearing `wears` in the way `wearing` says, but for tasks that
/// name what is worn during them.
///
/// A fit test of this person beats every label: what it was made with is predicted by `par`,
/// whatever the policy's method, and without a derating that is made for labels (NIOSH 2025-104).
///
/// The method is chosen for each sound by itself (choose_method). What none reaches counts
/// unreduced, with a warning that says what to enter, and whatever hangs on it is unknown
/// (exposure_verdict). Nothing is guessed.
///
/// An obstacle is a policy whose method no publication defines with its derating, and a position
/// that says nothing about a sequence heard there (unprotected_rows). Leaves in the trace how every
/// distinct sound came to the ear.
[[nodiscard]] Result<ExposureDay> day_or_obstacle(const Plan& plan, const Person& person,
                                                  const std::vector<std::string>& wears,
                                                  const Wearing& wearing, Trace* trace = nullptr);
/// The same with what the person wears.
[[nodiscard]] Result<ExposureDay> day_or_obstacle(const Plan& plan, const Person& person,
                                                  Trace* trace = nullptr);

/// As day_or_obstacle, for who can do nothing without the day: throws the obstacle.
[[nodiscard]] ExposureDay day_exposure(const Plan& plan, const Person& person,
                                       const std::vector<std::string>& wears,
                                       const Wearing& wearing, Trace* trace = nullptr);

/// What a person would hear through any attenuation, by one method and its rules: for questions
/// that no catalogue entry answers. Rows whose sound lacks what the method needs count unreduced.
/// Throws as `day_exposure`.
[[nodiscard]] ExposureDay day_exposure_through(const Plan& plan, const Person& person,
                                               const AttenuationData& worn, Method method,
                                               const PredictionRules& rules);

/// What of the things worn counts for a person: of somebody with an ear that cannot be fitted only
/// an earmuff, which reaches that ear, the worse one; of everybody else all (own rule).
[[nodiscard]] std::vector<std::string> what_counts(const Catalogue& catalogue, const Person& person,
                                                   const std::vector<std::string>& wears);

/// The person with everything poorly seated, also what is worn during tasks.
[[nodiscard]] Person poorly_seated(Person person);

/// Whether the person wears something, all the time or during a task.
[[nodiscard]] bool wears_anything(const Person& person);

/// The level of any sound under what is worn, by the method of the day as it is defined; none where
/// the sound lacks what the method needs.
[[nodiscard]] std::optional<LevelA> level_through(const Plan& plan, const Person& person,
                                                  const std::vector<std::string>& wears,
                                                  const Wearing& wearing, const ExposureDay& day,
                                                  const SoundLevels& sound);

/// As `day_exposure` with what the person wears.
[[nodiscard]] ExposureDay day_exposure(const Plan& plan, const Person& person,
                                       Trace* trace = nullptr);

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
