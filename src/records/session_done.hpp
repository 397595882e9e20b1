#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/computing/rows.hpp"
#include "records/register_file.hpp"
#include "report/document.hpp"
#include "report/shape.hpp"
#include "sessions/bodies.hpp"

namespace earbudget::records {

/// What must be known of an answer on a session, by its code.
enum class SessionNoteCode {
    EarsUnchecked,
    NotSeated,
    WearNotStated,
    CannotWear,
    MetalNearMagnet,
    Unconfirmed,
    BeginsLater,
    RunOfAMinute,
    LevelUnknown,
    PlanChanged,
    ClockSetBack,
    Stopped,
    Cleared,
    SessionEnded,
    OverMidnight
};
inline constexpr auto session_note_codes = rows_of<NameRow<SessionNoteCode>>({
    {SessionNoteCode::EarsUnchecked, "ears-unchecked"},
    {SessionNoteCode::NotSeated, "not-seated"},
    {SessionNoteCode::WearNotStated, "wear-not-stated"},
    {SessionNoteCode::CannotWear, "cannot-wear"},
    {SessionNoteCode::MetalNearMagnet, "metal-near-magnet"},
    {SessionNoteCode::Unconfirmed, "unconfirmed"},
    {SessionNoteCode::BeginsLater, "begins-later"},
    {SessionNoteCode::RunOfAMinute, "run-of-a-minute"},
    {SessionNoteCode::LevelUnknown, "level-unknown"},
    {SessionNoteCode::PlanChanged, "plan-changed"},
    {SessionNoteCode::ClockSetBack, "clock-set-back"},
    {SessionNoteCode::Stopped, "stopped"},
    {SessionNoteCode::Cleared, "cleared"},
    {SessionNoteCode::SessionEnded, "session-ended"},
    {SessionNoteCode::OverMidnight, "over-midnight"},
});

struct SessionNote {
    SessionNoteCode code;
    std::string text;
};

/// How loud something was for somebody; none where that is not known, or silence.
struct LevelsHeard {
    std::optional<LevelA> outside = std::nullopt, at_ear = std::nullopt;
};
[[nodiscard]] LevelsHeard levels_of(const sessions::SharedRecord& exposure);

/// An entry that was recorded, as answers tell it.
struct EntryDone {
    std::int64_t n = 0;
    registers::EntryKind kind = registers::EntryKind::Run;
    std::string as;
    StatedInstant from, to;
    std::string what;  ///< in a few words
    LevelsHeard levels = {};
};

/// What was recorded of a session, and what must be known of it.
struct SessionDone {
    std::string action;  ///< "run"
    RegisterFile file;
    report::Record record;
    std::int64_t session = 0;
    std::string as;  ///< whose session it is
    std::vector<EntryDone> entries = {};
    std::vector<SessionNote> notes = {};
};

/// The last words of every answer on a session: where its levels come from.
inline constexpr std::string_view levels_not_measured =
    "Levels come from sequence cards, what is worn from what was stated: nothing was measured in "
    "this room or at this ear.";

[[nodiscard]] std::string session_done_json(const SessionDone& done);
[[nodiscard]] report::Document session_done_document(const SessionDone& done);
[[nodiscard]] const report::ObjectShape& session_done_shape();

// Parts of all answers on sessions.

[[nodiscard]] std::vector<report::Block> note_blocks(const std::vector<SessionNote>& notes);
/// What must be read with it, short, and the head of the register.
void end_session_document(const RegisterFile& file, const report::Record& record,
                          report::Document& document);

}  // namespace earbudget::records

namespace earbudget::report {

template <>
FieldTable<records::SessionNote> describe();
template <>
FieldTable<records::EntryDone> describe();

}  // namespace earbudget::report
