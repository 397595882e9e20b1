#include "register/connection.hpp"

#include <cerrno>
#include <filesystem>
#include <new>
#include <stdexcept>
#include <system_error>

#include <fmt/format.h>
#include <sqlite3.h>
#include <sys/stat.h>

#include "earbudget/study/input_error.hpp"
#include "files/open_file.hpp"

namespace earbudget::registers {

namespace {

[[noreturn]] void refuse(const std::string& path, const std::string& what) {
    throw InputError({path}, what);
}

[[noreturn]] void fail_machine(const std::string& path, int error) {
    throw std::system_error(error, std::generic_category(),
                            fmt::format("cannot write \"{}\"", path));
}

std::string system_words(int error) {
    return error == 0 ? std::string() : ": " + std::generic_category().message(error);
}

/// The system's error (errno) behind one that SQLite has just told of, 0 where there is none.
/// SQLite keeps it where it opens files, not where writing fails.
int system_error(const std::optional<SQLite::Database>& database) {
    const int latest = errno;
    const int kept = database ? sqlite3_system_errno(database->getHandle()) : 0;
    return kept != 0 ? kept : latest;
}

/// Throws what an error of SQLite means that is not the file's own; `system` is the system's
/// (errno).
[[noreturn]] void tell(const std::string& path, const SQLite::Exception& error, int system) {
    switch (error.getErrorCode() & 0xFF) {
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
        case SQLITE_PROTOCOL:
            refuse(path,
                   "others kept the register busy for ten seconds; accepted: the same once more, "
                   "when they are done");
        case SQLITE_FULL:
            fail_machine(path, ENOSPC);
        case SQLITE_NOMEM:
            throw std::bad_alloc();
        case SQLITE_READONLY:
        case SQLITE_CANTOPEN:
        case SQLITE_PERM:
        case SQLITE_AUTH:
            if (files::is_machine_fault(system)) fail_machine(path, system);
            refuse(path, fmt::format(
                             "the register or the files \"-wal\" and \"-shm\" beside it cannot be "
                             "opened{}; accepted: a register in a folder that you may write to, or "
                             "a backup, which can be read anywhere",
                             system_words(system)));
        case SQLITE_IOERR:
            fail_machine(path, files::is_machine_fault(system) ? system : EIO);
        default:
            throw std::runtime_error(
                fmt::format("\"{}\": {} ({})", path, error.what(), error.getExtendedErrorCode()));
    }
}

}  // namespace

Connection::~Connection() {
    roll_back();
    statements_.clear();
}

Connection::Statements::node_type Connection::take_statement(const char* text) {
    auto found = statements_.find(text);
    if (found == statements_.end())
        found = statements_.emplace(text, SQLite::Statement(*database_, text));
    return statements_.extract(found);
}

void Connection::give_back(Statements::node_type&& statement) noexcept {
    statement.mapped().tryReset();
    statements_.insert(std::move(statement));
}

void Connection::fail(const SQLite::Exception& error) {
    const int system = system_error(database_);
    switch (error.getErrorCode() & 0xFF) {
        case SQLITE_CORRUPT:
        case SQLITE_NOTADB:
        case SQLITE_TOOBIG:
        case SQLITE_MISMATCH:
        // Statements and tables are known to be right: what else they meet is the file's.
        case SQLITE_ERROR:
        case SQLITE_CONSTRAINT:
            refuse_damaged(error.what());
        default:
            break;
    }
    if (error.getExtendedErrorCode() == SQLITE_IOERR_SHORT_READ) refuse_damaged(error.what());
    tell(path_, error, system);
}

void fill_new(const std::string& place, const std::string& file,
              const std::function<void(SQLite::Database&)>& fill) {
    std::optional<SQLite::Database> database;
    try {
        database.emplace(sqlite_name(file), SQLite::OPEN_READWRITE);
        distrust(*database);
        fill(*database);
    } catch (const SQLite::Exception& error) {
        tell(place, error, system_error(database));
    }
}

void Connection::refuse_damaged(const std::string& what) {
    refuse(path_,
           fmt::format("the register is damaged: {}; accepted: {}", what, restore_to_make()));
}

void Connection::begin(bool to_write) {
    if (depth_ == 0) {
        if (to_write) check_is_in_its_place();
        leave_transaction();
        database_->exec(to_write ? "BEGIN IMMEDIATE" : "BEGIN");
        is_doomed_ = false;
        is_writing_ = to_write;
    }
    if (to_write && !is_writing_)
        throw std::logic_error("appending to a register while it is read");
    ++depth_;
}

void Connection::commit() {
    if (depth_ > 1) {
        --depth_;
        return;
    }
    if (is_doomed_) {
        roll_back();
        throw std::logic_error("a part of what was to be recorded as one had failed");
    }
    // Nobody would find again what is recorded in a file that has no name.
    if (is_writing_) check_is_in_its_place();
    database_->exec("COMMIT");
    depth_ = 0;
}

void Connection::roll_back() noexcept {
    if (depth_ == 0) return;
    is_doomed_ = true;
    if (--depth_ > 0) return;
    leave_transaction();
}

void Connection::leave_transaction() noexcept {
    // SQLite may have left it already.
    if (database_ && sqlite3_get_autocommit(database_->getHandle()) == 0)
        static_cast<void>(database_->tryExec("ROLLBACK"));
}

void Connection::end_reading() noexcept {
    if (--depth_ == 0) leave_transaction();
}

std::int64_t Query::number(int column) const {
    const SQLite::Column found = statement_.getColumn(column);
    if (!found.isInteger()) throw Damaged{"a number is none"};
    return found.getInt64();
}

std::optional<std::int64_t> Query::number_or_none(int column) const {
    if (statement_.getColumn(column).isNull()) return std::nullopt;
    return number(column);
}

std::string_view Query::text(int column) const {
    const SQLite::Column found = statement_.getColumn(column);
    if (!found.isText()) throw Damaged{"a text is none"};
    const char* const text = found.getText();
    return {text, static_cast<std::size_t>(found.getBytes())};
}

std::optional<std::string_view> Query::text_or_none(int column) const {
    if (statement_.getColumn(column).isNull()) return std::nullopt;
    return text(column);
}

std::string_view Query::blob(int column) const {
    const SQLite::Column found = statement_.getColumn(column);
    if (!found.isBlob()) throw Damaged{"a sum is none"};
    const auto* const bytes = static_cast<const char*>(found.getBlob());
    return {bytes, static_cast<std::size_t>(found.getBytes())};
}

std::optional<std::string_view> Query::blob_or_none(int column) const {
    if (statement_.getColumn(column).isNull()) return std::nullopt;
    return blob(column);
}

}  // namespace earbudget::registers
