#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/limits/row_peak.hpp"
#include "earbudget/study/plan.hpp"
#include "earbudget/study/result.hpp"
#include "earbudget/uncertainty/joined_days.hpp"

namespace earbudget::sessions {

/// A file that something was computed from.
struct FileHash {
    std::string file;
    std::string sha256;  ///< hexadecimal

    bool operator==(const FileHash&) const = default;
};

/// With what, and from what, an exposure was computed.
struct Provenance {
    std::string program = {};          ///< its version
    std::vector<FileHash> files = {};  ///< card, plan, catalogue, site
};

/// The peaks of what is heard, as one kind of limit looks at them (row_peaks).
struct PeaksBy {
    PeakLimit::Weighting weighting = PeakLimit::Weighting::C;
    bool at_ear = false;
    std::vector<RowPeak> peaks = {};
};

/// What one person hears while something goes on, as it was known when it was recorded, with all
/// that judging it again needs: levels, their errors and what shares them, peaks, the criteria in
/// force. Nothing in it is by reference to files that may change.
///
/// How long it went on, in which session and run, is not in it: every row of `day` lasts 1 s, the
/// time of the entry goes on top (windows.hpp). So the same run of the same sequence with the same
/// things worn has the same record, word for word.
struct ExposureRecord {
    Provenance provenance = {};
    Role role = Role::Participant;
    std::optional<AgeGroup> age_group = std::nullopt;
    /// For the role; with the weekly average where the policy lets that stand for the daily level.
    std::vector<Criterion> criteria = {};
    double accepted_probability = accepted_probability_by_default;
    DrawSettings draws = {};
    ExposureDay day = {};
    DayErrors errors = {};
    std::vector<std::string> names = {};   ///< of each row's sound: the sequence's id, …
    std::vector<Message> unmeasured = {};  ///< unmeasured_in
    std::vector<PeaksBy> peaks = {};       ///< by each weighting and place that limits ask for

    /// Whether no method reaches something under what is worn, so that it counts unreduced.
    [[nodiscard]] bool is_unreached() const;
    /// Those of one kind of limit.
    [[nodiscard]] const std::vector<RowPeak>& peaks_by(const PeakLimit& limit) const;
};

using SharedRecord = std::shared_ptr<const ExposureRecord>;

/// What somebody wears from now on, in the place of what the plan says.
struct WornNow {
    std::vector<std::string> wears = {};
    Wearing wearing = {};
    /// Of a fit test of this person with these things; none: what the plan states, where it is of
    /// the same things.
    std::optional<LevelDifference> PAR = std::nullopt;
};

/// The person of the plan wearing that. A fit test with other things than are worn now is not
/// taken over.
[[nodiscard]] Person wearing_now(Person person, const WornNow& worn);

/// Whether a session is the first of a person's day: tasks that are done once a day are done in it.
enum class SessionOfDay { First, Later };

/// What a person hears while a sequence of the plan runs: a participant the sequence, and all
/// others what their tasks that follow the timeline bring them of it. No rows where those bring
/// none. An obstacle is that of day_or_obstacle.
[[nodiscard]] Result<ExposureRecord> record_of_run(const Plan& plan, const Person& person,
                                                   std::size_t sequence,
                                                   const Provenance& provenance,
                                                   SessionOfDay session = SessionOfDay::First);

/// What a person hears while nothing runs between runs: the background, where the plan has one. No
/// rows where nothing is known of it, which is silence, as in a plan.
[[nodiscard]] Result<ExposureRecord> record_of_rest(const Plan& plan, const Person& person,
                                                    const Provenance& provenance,
                                                    SessionOfDay session = SessionOfDay::First);

/// A task that lasts its own time, once a session or once a day.
struct TaskRecord {
    std::string title;  ///< possibly empty
    std::size_t index;  ///< of Person::tasks
    Seconds duration;
    bool once_a_day;
    ExposureRecord exposure;
};
[[nodiscard]] Result<std::vector<TaskRecord>> records_of_tasks(const Plan& plan,
                                                               const Person& person,
                                                               const Provenance& provenance);

/// Adds a card that the plan does not have, for a run that was not planned; its index.
[[nodiscard]] std::size_t add_card(Plan& plan, Sequence card);

/// The index of a sequence by its id; none where the plan has no such.
[[nodiscard]] std::optional<std::size_t> sequence_named(const Plan& plan, std::string_view id);

}  // namespace earbudget::sessions
