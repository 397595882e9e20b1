#include "register/schema.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <string>

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>

namespace earbudget::registers {

namespace {

// Who is one person: `joined` is the same number for all of them. A person's `seal` is a salted sum
// of code and number, which stays when code and salt are erased, and by which contents name persons
// in what their commitments stand for.
// The state is no record: the number of the last session, whether free places are to be wiped, and
// whether this transaction erases.
constexpr auto version_1 = std::to_array<std::string_view>({
    "CREATE TABLE setting(key TEXT PRIMARY KEY NOT NULL, value TEXT NOT NULL) STRICT, WITHOUT "
    "ROWID",
    "CREATE TABLE state(key TEXT PRIMARY KEY NOT NULL, value INTEGER NOT NULL) STRICT, WITHOUT "
    "ROWID",
    "CREATE TABLE person(id INTEGER PRIMARY KEY NOT NULL, joined INTEGER NOT NULL REFERENCES "
    "person(id), seal BLOB NOT NULL CHECK(length(seal) = 32)) STRICT",
    "CREATE TABLE code(code TEXT PRIMARY KEY NOT NULL COLLATE NOCASE, person INTEGER NOT NULL "
    "REFERENCES person(id), salt BLOB NOT NULL CHECK(length(salt) = 16)) STRICT, WITHOUT ROWID",
    "CREATE TABLE entry(n INTEGER PRIMARY KEY NOT NULL, recorded_ms INTEGER NOT NULL, kind TEXT "
    "NOT NULL, commitment BLOB NOT NULL CHECK(length(commitment) = 32), previous BLOB NOT NULL "
    "CHECK(length(previous) = 32), hash BLOB NOT NULL CHECK(length(hash) = 32)) STRICT",
    "CREATE TABLE content(n INTEGER PRIMARY KEY NOT NULL REFERENCES entry(n), salt BLOB NOT NULL "
    "CHECK(length(salt) = 16), person INTEGER REFERENCES person(id), recorder INTEGER REFERENCES "
    "person(id), session INTEGER, from_ms INTEGER NOT NULL, to_ms INTEGER NOT NULL CHECK(to_ms "
    "BETWEEN from_ms AND from_ms + 2678400000), offset_minutes INTEGER NOT NULL, corrects INTEGER "
    "CHECK(corrects < n), body TEXT NOT NULL) STRICT",
    "CREATE UNIQUE INDEX code_person ON code(person)",
    "CREATE INDEX person_joined ON person(joined)",
    "CREATE INDEX entry_backup ON entry(n) WHERE kind = 'backup'",
    "CREATE INDEX content_person ON content(person, to_ms)",
    "CREATE INDEX content_session ON content(session, n)",
    "CREATE INDEX content_from ON content(from_ms, to_ms, person)",
    "CREATE UNIQUE INDEX content_corrects ON content(corrects) WHERE corrects IS NOT NULL",
    "CREATE TRIGGER setting_stays BEFORE UPDATE ON setting BEGIN SELECT RAISE(ABORT, 'settings "
    "stay'); END",
    "CREATE TRIGGER setting_is_kept BEFORE DELETE ON setting BEGIN SELECT RAISE(ABORT, 'settings "
    "stay'); END",
    "CREATE TRIGGER entry_stays BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries stay'); "
    "END",
    "CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries "
    "stay'); END",
    "CREATE TRIGGER content_stays BEFORE UPDATE ON content BEGIN SELECT RAISE(ABORT, 'contents "
    "stay'); END",
    "CREATE TRIGGER content_is_kept BEFORE DELETE ON content WHEN (SELECT value FROM state WHERE "
    "key = 'erasing') IS NOT 1 BEGIN SELECT RAISE(ABORT, 'contents stay'); END",
    "CREATE TRIGGER person_stays BEFORE UPDATE OF id, seal ON person BEGIN SELECT RAISE(ABORT, "
    "'persons stay'); END",
    "CREATE TRIGGER person_is_kept BEFORE DELETE ON person BEGIN SELECT RAISE(ABORT, 'persons "
    "stay'); END",
    "CREATE TRIGGER code_stays BEFORE UPDATE ON code BEGIN SELECT RAISE(ABORT, 'codes stay'); END",
    "CREATE TRIGGER code_is_kept BEFORE DELETE ON code WHEN (SELECT value FROM state WHERE key = "
    "'erasing') IS NOT 1 BEGIN SELECT RAISE(ABORT, 'codes stay'); END",
});
static_assert(longest_entry_ms == 2678400000);

constexpr auto all_steps = std::to_array<Statements>({version_1});

}  // namespace

std::span<const Statements> migrations() { return all_steps; }

AllOrNothing::AllOrNothing(SQLite::Database& database) : database_(database) {
    database_.exec("BEGIN IMMEDIATE");
}

AllOrNothing::~AllOrNothing() {
    if (!is_done_) static_cast<void>(database_.tryExec("ROLLBACK"));
}

void AllOrNothing::commit() {
    database_.exec("COMMIT");
    is_done_ = true;
}

void migrate(SQLite::Database& database, std::span<const Statements> steps) {
    AllOrNothing transaction(database);
    // Another program may have done it meanwhile.
    const int version = database.execAndGet("PRAGMA user_version").getInt();
    for (std::size_t step = static_cast<std::size_t>(std::max(version, 0)); step < steps.size();
         ++step) {
        for (const std::string_view statement : steps[step])
            database.exec(std::string(statement));
    }
    if (version < static_cast<int>(steps.size()))
        database.exec(fmt::format("PRAGMA user_version = {}", steps.size()));
    transaction.commit();
}

namespace {

/// What is missing of the present tables; none where there is something else.
std::optional<std::vector<std::string_view>> missing_in(SQLite::Database& database) {
    std::vector<std::string_view> missing(version_1.begin(), version_1.end());
    SQLite::Statement all(database, "SELECT sql FROM sqlite_schema");
    while (all.executeStep()) {
        const auto found = std::ranges::find(missing, all.getColumn(0).getString());
        if (found == missing.end()) return std::nullopt;
        missing.erase(found);
    }
    return missing;
}

}  // namespace

bool has_present_schema(SQLite::Database& database) {
    const auto missing = missing_in(database);
    return missing && missing->empty();
}

bool lacks_only_triggers(SQLite::Database& database) {
    const auto missing = missing_in(database);
    return missing && !missing->empty() &&
           std::ranges::all_of(*missing, [](std::string_view statement) {
               return statement.starts_with("CREATE TRIGGER");
           });
}

}  // namespace earbudget::registers
