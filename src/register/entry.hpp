#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/computing/instant.hpp"
#include "earbudget/computing/rows.hpp"

namespace earbudget::registers {

/// What an entry of a register tells of. The last four are made by the register itself, or by what
/// brings entries in from elsewhere.
enum class EntryKind {
    SessionStart,
    Present,
    Wear,
    Check,
    RunStart,
    Run,
    Event,
    Clearance,
    SessionEnd,
    Task,
    Correction,
    Import,
    Link,
    Erase,
    Backup
};

inline constexpr auto entry_kinds = rows_of<NameRow<EntryKind>>({
    {EntryKind::SessionStart, "session-start"},
    {EntryKind::Present, "present"},
    {EntryKind::Wear, "wear"},
    {EntryKind::Check, "check"},
    {EntryKind::RunStart, "run-start"},
    {EntryKind::Run, "run"},
    {EntryKind::Event, "event"},
    {EntryKind::Clearance, "clearance"},
    {EntryKind::SessionEnd, "session-end"},
    {EntryKind::Task, "task"},
    {EntryKind::Correction, "correction"},
    {EntryKind::Import, "import"},
    {EntryKind::Link, "link"},
    {EntryKind::Erase, "erase"},
    {EntryKind::Backup, "backup"},
});

/// What is to be recorded. `from` and `to` are when it was, `offset_minutes` the offset from UTC
/// that was in force there; both moments are one for what takes no time. `as` is the code of who
/// this is about, `by` of who recorded it. The body is a JSON object and holds no code of a person.
///
/// An entry of kind Correction names in `corrects` the entry in whose place it stands, and its body
/// has, besides that of the new entry, `why` and `kind`: the kind of what stands there now, or null
/// where what was recorded never was. It is about the person, and of the session, of that entry.
struct NewEntry {
    EntryKind kind = EntryKind::Run;
    std::optional<std::string> as = {};
    std::optional<std::string> by = {};
    std::optional<std::int64_t> session = {};
    Instant from = {};
    Instant to = {};
    std::optional<std::int64_t> corrects = {};
    std::string body = "{}";
    int offset_minutes = 0;
};

/// What was recorded: `n` counts from 1 without gaps, `recorded` is the clock's time of then. Whose
/// code was erased is not told any more. Of a correction `kind` is that of what stands there now,
/// and `corrects` is the entry that it replaces; only histories have Correction as a kind.
struct Entry : NewEntry {
    std::int64_t n = 0;
    Instant recorded = {};
};

/// Where a register ends: the number of its last entry, 0 where there is none, and that entry's
/// hash, which stands for all that was recorded until then; 64 hexadecimal digits.
struct Head {
    std::int64_t n = 0;
    std::string hash = {};

    /// "N:HASH", as sheets, backups and reports print it.
    [[nodiscard]] std::string text() const;
    /// Reads one, with digits of either case; none for anything else.
    [[nodiscard]] static std::optional<Head> parse(std::string_view text);

    bool operator==(const Head&) const = default;
};

/// What a register was made with; part of what its hashes stand for, so that it never changes.
struct RegisterSettings {
    std::string title = {};
    std::string time_zone = {};              ///< IANA's name, of the site's calendar
    std::optional<int> retention_days = {};  ///< how long a person's entries are to be kept
    Instant created = {};                    ///< set when it is made
};

/// A backup as the register knows it.
struct BackupRecord {
    std::int64_t n = 0;  ///< the entry that tells of it
    Instant made = {};
    std::string file = {};  ///< its absolute path when it was made
    Head head = {};         ///< of what is in it
    bool is_there = true;   ///< whether a file of that name is there now
};

/// What erasing a person did.
struct Erased {
    std::int64_t n = 0;        ///< the entry that tells of it
    std::int64_t entries = 0;  ///< whose content is gone
    std::vector<std::string> codes = {};
    std::vector<BackupRecord> backups = {};  ///< that still hold the person
    bool traces_left = false;  ///< others read meanwhile: finish_erasing() must be called again
};

/// A person whose newest entry is older than the site keeps entries.
struct Due {
    std::vector<std::string> codes = {};
    Instant newest = {};  ///< when the last of what is recorded ended
    std::int64_t entries = 0;
};

/// All that a register holds of one person, for a copy: corrections and what they correct too.
struct PersonCopy {
    std::vector<std::string> codes = {};
    std::vector<Entry> entries = {};
    Head head = {};  ///< of the register then
};

}  // namespace earbudget::registers
