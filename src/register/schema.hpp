#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace SQLite {
class Database;
}

namespace earbudget::registers {

/// Tells a register from other databases (SQLite's application_id): "EbRg".
inline constexpr std::int32_t application_id = 0x45625267;

/// One step of migration: statements that make a register of the version before into one of the
/// next. What a step leaves must have the very texts of schema(), which opening compares: a table
/// is made anew and filled, not altered.
using Statements = std::span<const std::string_view>;

/// From nothing to version 1, from 1 to 2 and so on; their number is the present version.
[[nodiscard]] std::span<const Statements> migrations();
[[nodiscard]] inline int present_version() { return static_cast<int>(migrations().size()); }

/// All or nothing of what is done to a database; SQLiteCpp's own ends the program where there is no
/// memory to take it back.
class AllOrNothing {
  public:
    explicit AllOrNothing(SQLite::Database& database);
    AllOrNothing(const AllOrNothing&) = delete;
    AllOrNothing& operator=(const AllOrNothing&) = delete;
    ~AllOrNothing();
    void commit();

  private:
    SQLite::Database& database_;
    bool is_done_ = false;
};

/// Brings a database from the version that it says it has (SQLite's user_version) to the last of
/// these steps, in one transaction; the caller has begun none.
void migrate(SQLite::Database& database, std::span<const Statements> steps);

/// Whether it has the tables, indices and triggers of the present version, by their texts, and
/// nothing else.
[[nodiscard]] bool has_present_schema(SQLite::Database& database);

/// Whether it is that but for triggers, some of which are not there; nothing else is.
[[nodiscard]] bool lacks_only_triggers(SQLite::Database& database);

/// An entry lasts 31 days at most (own choice), so that what overlaps a time is found near it.
inline constexpr std::int64_t longest_entry_ms = 31LL * 24 * 3600 * 1000;

/// The most bytes of a body (own choice), and of what is read in one piece from a file of others.
inline constexpr int longest_body = 1 << 20;
inline constexpr int longest_read = 1 << 24;

}  // namespace earbudget::registers
