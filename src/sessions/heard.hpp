#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "register/entry.hpp"
#include "sessions/bodies.hpp"
#include "sessions/calendar.hpp"

namespace earbudget::sessions {

/// What somebody was in the noise of.
enum class HeardKind {
    Run,   ///< a sequence
    Task,  ///< a task of a time of its own
    Rest   ///< nothing running, within a session
};

/// A stretch of somebody's time at levels of its own.
struct Heard {
    HeardKind kind = HeardKind::Run;
    Span when = {};
    std::int64_t entry = 0;    ///< which tells of it
    std::int64_t session = 0;  ///< 0: none
    std::int64_t insertion =
        0;                     ///< the entry by which protectors were put in last; 0: at the start
    std::string name = {};     ///< the sequence's id, the task's title; empty: a rest
    bool unconfirmed = false;  ///< how long it ran is not stated
    /// In which role; none where neither the exposure nor the session says.
    std::optional<Role> role = std::nullopt;
    SharedRecord exposure = nullptr;  ///< null: how loud it was is not known
    std::string why_unknown = {};
};

/// Something that happened, and by whom it was cleared.
struct HeardEvent {
    std::int64_t entry = 0;
    std::int64_t session = 0;
    Instant at = {};
    EventKind what = EventKind::Other;
    std::string note = {};
    std::optional<std::int64_t> cleared = std::nullopt;  ///< the entry that clears it

    [[nodiscard]] bool stops_all() const { return event_kinds[what].stops && !cleared; }
};

/// What is known of one person from entries.
struct HeardByPerson {
    std::vector<Heard> parts = {};           ///< in order of their beginnings
    std::vector<HeardEvent> events = {};     ///< likewise
    std::vector<std::int64_t> damaged = {};  ///< entries that cannot be read

    /// The last event after which nothing may be run until it is cleared; null where there is none.
    [[nodiscard]] const HeardEvent* stop() const;
};

/// Reads the entries of one person, in any order.
///
/// A run that was begun and not stopped counts until something else is stated of its session:
/// another run, its end, or what ends it; else until now, and at least as long as it was to last.
/// It is marked unconfirmed. Between a session's beginning and its end, or the end of the last
/// thing heard in it, rests fill the time in which nothing runs.
[[nodiscard]] HeardByPerson heard_by(std::span<const registers::Entry> entries, Instant now,
                                     RecordCache& cache);

/// Runs that go on at once, by their entries: a person hears one at a time, so that one of them may
/// be there twice. Both count, on the safe side.
[[nodiscard]] std::vector<std::pair<std::int64_t, std::int64_t>> overlapping(
    const std::vector<Heard>& parts);

/// What somebody wears at a moment by the entries of a session; none where nothing is stated.
[[nodiscard]] std::optional<WearBody> worn_at(std::span<const registers::Entry> entries,
                                              std::int64_t session, Instant at, RecordCache& cache);

/// Whether a task that is done once a day was recorded on that day already.
[[nodiscard]] bool is_recorded(const std::vector<Heard>& parts, const std::string& task,
                               const Span& day);

}  // namespace earbudget::sessions
