#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "records/session_recorder.hpp"
#include "sessions/judged.hpp"

namespace earbudget::records {

/// A stretch of what somebody heard in a session.
struct PartShown {
    sessions::Heard part;
    StatedInstant from, to;
    LevelsHeard levels = {};
};

/// A session as it stands, of one person in it.
struct ShowReport {
    RegisterFile file;
    report::Record record;
    sessions::Session session = {};
    std::string as;
    Role role = Role::Participant;
    StatedInstant at = {};  ///< until when what goes on counts
    StatedInstant begins = {};
    std::optional<StatedInstant> ends = std::nullopt;
    std::vector<EntryDone> entries = {};                       ///< of the person in it
    std::vector<PartShown> heard = {};                         ///< in it
    std::shared_ptr<const sessions::Judged> so_far = nullptr;  ///< of day and week, all sessions
    std::vector<SessionNote> notes = {};

    /// Nothing was heard, or it is within or close.
    [[nodiscard]] bool is_well() const;
};

/// Throws InputErrors.
[[nodiscard]] ShowReport show_of(const registers::Register& from, const SessionAsked& asked,
                                 const std::string& date);

[[nodiscard]] std::string show_json(const ShowReport& report);
[[nodiscard]] report::Document show_document(const ShowReport& report);
[[nodiscard]] const report::ObjectShape& show_shape();

}  // namespace earbudget::records
