#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "earbudget/study/plan.hpp"
#include "sessions/heard.hpp"

namespace earbudget::sessions {

/// A run that has begun and whose end is not stated.
struct OpenRun {
    std::int64_t entry = 0;
    std::string as;
    Instant from = {};
    RunBody body;
};

/// A session as its entries tell of it.
struct Session {
    std::int64_t number = 0;
    std::string as;      ///< the participant's code
    PresenceBody start;  ///< the plan, and who of it the participant is
    Instant begins = {};
    std::optional<Instant> ends = std::nullopt;
    /// Who else is or was there, by their codes.
    std::map<std::string, PresenceBody> present = {};
    /// What is worn now, by codes; who is not in it wears what the plan says.
    std::map<std::string, WornNow> worn = {};
    std::vector<OpenRun> open = {};  ///< one for each person who hears it

    /// The person of the plan, wearing what is worn now.
    [[nodiscard]] Person person(const Plan& plan, const std::string& code) const;
};

/// The session of these entries, its own, in order of time (registers::Register::of_session); none
/// without a beginning that can be read. What a session that ended by pain, ringing or dulled
/// hearing says is that it ended.
[[nodiscard]] std::optional<Session> session_of(std::span<const registers::Entry> entries,
                                                RecordCache& cache);

/// What is recorded with each entry of a session.
struct Recording {
    const Plan& plan;
    const Provenance& provenance;
    std::int64_t session = 0;
    Instant at = {};
    int offset_minutes = 0;
    std::optional<std::string> by = std::nullopt;
    /// Codes of those for whom this is no first session of the day: tasks that are done once a day
    /// and follow the timeline are done then.
    std::vector<std::string> seen_today = {};
};

// The entries that tell of something, to be appended as one (registers::Register::in_one).
// Exposures are computed now, with what is worn now; where one cannot be, its entry says why.

[[nodiscard]] registers::NewEntry entry_of_start(const Recording& with, const std::string& as,
                                                 const Person& person, const PlanRef& plan);
/// Of somebody else who is there from now on, and of the tasks that they have besides the timeline:
/// once a session, and once a day where `done_today` does not say that they are done.
[[nodiscard]] std::vector<registers::NewEntry> entries_of_presence(
    const Recording& with, const std::string& as, const Person& person,
    const std::vector<std::string>& done_today);
[[nodiscard]] registers::NewEntry entry_of_wear(const Recording& with, const std::string& as,
                                                const Person& person, const WornNow& worn);
[[nodiscard]] registers::NewEntry entry_of_check(const Recording& with, const std::string& as,
                                                 const CheckBody& check);
/// A run that begins now, for everybody who hears it.
[[nodiscard]] std::vector<registers::NewEntry> entries_of_run_start(const Recording& with,
                                                                    const Session& session,
                                                                    std::size_t sequence,
                                                                    Seconds planned,
                                                                    const FileHash& card);
/// A run of a stated time that begins now.
[[nodiscard]] std::vector<registers::NewEntry> entries_of_run(const Recording& with,
                                                              const Session& session,
                                                              std::size_t sequence, Seconds time,
                                                              const FileHash& card);
/// The end, now, of what has begun; or after a stated time.
[[nodiscard]] std::vector<registers::NewEntry> entries_of_run_stop(
    const Recording& with, const Session& session, std::optional<Seconds> after = std::nullopt);
/// What happened; where it ends the session (EventRow::stops) its end too.
[[nodiscard]] std::vector<registers::NewEntry> entries_of_event(const Recording& with,
                                                                const Session& session,
                                                                const EventBody& event);
/// Somebody clears the person after an event; `Recording::by` must name who.
[[nodiscard]] registers::NewEntry entry_of_clearance(const Recording& with, const std::string& as,
                                                     std::int64_t event);
/// The session's end, for everybody who is there.
[[nodiscard]] std::vector<registers::NewEntry> entries_of_end(const Recording& with,
                                                              const Session& session);

}  // namespace earbudget::sessions
