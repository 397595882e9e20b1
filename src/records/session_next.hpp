#pragma once

#include <optional>
#include <string>
#include <vector>

#include "records/session_recorder.hpp"
#include "sessions/next.hpp"

namespace earbudget::records {

/// What could come next besides the timeline of the plan.
struct NextWanted {
    std::vector<std::string> sequences = {};  ///< ids of the plan; empty and no cards: the timeline
    std::vector<std::string> cards = {};
    std::optional<Seconds> lasting = std::nullopt;  ///< of each run; none: as planned
};

/// "May I run that again?", of one person in a session, now.
struct NextReport {
    RegisterFile file;
    report::Record record;
    std::int64_t session = 0;
    std::string as;
    Role role = Role::Participant;
    StatedInstant at = {};
    std::string wears = {};  ///< in words
    std::string metal = {};  ///< why nothing is run with what is worn; empty: no reason
    sessions::Next next = {};
    std::vector<SessionNote> notes = {};

    /// Nothing was heard, or it is within or close, and nothing stops.
    [[nodiscard]] bool is_well() const;
};

/// Throws InputErrors. Where somebody is named who cleared an event, that is recorded.
[[nodiscard]] NextReport next_of(registers::Register& from, const SessionAsked& asked,
                                 const NextWanted& wanted, const std::string& date,
                                 std::uint64_t seed);

/// What was heard so far against each limit, in words; of a part that other answers have too.
[[nodiscard]] std::vector<report::Block> so_far_blocks(const sessions::Judged* so_far);

[[nodiscard]] std::string next_json(const NextReport& report);
[[nodiscard]] report::Document next_document(const NextReport& report);
[[nodiscard]] const report::ObjectShape& next_shape();

}  // namespace earbudget::records
