// Opening a register: what is refused before anything of it is believed.
#include <array>
#include <cerrno>
#include <charconv>
#include <filesystem>
#include <system_error>
#include <thread>

#include <fmt/format.h>
#include <linux/magic.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <sys/vfs.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"
#include "files/open_file.hpp"
#include "register/connection.hpp"
#include "register/network.hpp"
#include "register/schema.hpp"

namespace earbudget::registers {

namespace {

constexpr std::string_view made_by =
    "accepted: a register made by earbudget register create, or a backup of one";

/// Throws for what is no regular file.
void require_register_file(const std::string& path) {
    struct stat found = {};
    if (path.empty() || ::stat(path.c_str(), &found) != 0) {
        const int error = path.empty() ? ENOENT : errno;
        const bool is_missing = error == ENOENT || error == ENOTDIR;
        throw InputError({path}, fmt::format("{}; {}",
                                             is_missing ? std::string("there is no such register")
                                                        : std::generic_category().message(error),
                                             made_by));
    }
    if (S_ISDIR(found.st_mode))
        throw InputError({path}, fmt::format("this is a folder; {}", made_by));
    if (!S_ISREG(found.st_mode))
        throw InputError({path}, fmt::format("this is not a regular file; {}", made_by));
}

/// Others that write are asked every two milliseconds: SQLite's own waiting grows to a tenth of a
/// second, after which the one of many that is still waiting may never meet a free moment.
int wait_for_others(void* given, int times) {
    constexpr std::chrono::milliseconds pause(2);
    auto& waiting = *static_cast<Waiting*>(given);
    if (times == 0) waiting.since = Waiting::Clock::now();
    if (Waiting::Clock::now() - waiting.since >= waiting.longest) return 0;
    std::this_thread::sleep_for(pause);
    return 1;
}

}  // namespace

std::string sqlite_name(const std::string& path) {
    return path.starts_with('/') ? path : "./" + path;
}

void refuse_network(const std::string& place, const std::string& path) {
    struct statfs found = {};
    if (::statfs(path.c_str(), &found) != 0) return;  // what else is wrong is told later
    const auto name = network_file_system(static_cast<std::uint64_t>(found.f_type));
    if (!name) return;
    throw InputError({place}, fmt::format("this is on {}, where locks and the order of writing "
                                          "cannot be relied upon; accepted: a disk of this machine",
                                          *name));
}

void distrust(SQLite::Database& database) {
    sqlite3* const handle = database.getHandle();
    sqlite3_limit(handle, SQLITE_LIMIT_LENGTH, longest_read);
    sqlite3_limit(handle, SQLITE_LIMIT_ATTACHED, 1);  // VACUUM needs one
    constexpr std::array<std::pair<int, int>, 7> switches = {
        {{SQLITE_DBCONFIG_DEFENSIVE, 1},
         {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
         {SQLITE_DBCONFIG_ENABLE_VIEW, 0},
         {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0},
         {SQLITE_DBCONFIG_DQS_DML, 0},
         {SQLITE_DBCONFIG_DQS_DDL, 0},
         {SQLITE_DBCONFIG_ENABLE_FKEY, 1}}};
    for (const auto& [name, value] : switches)
        sqlite3_db_config(handle, name, value, nullptr);
    database.exec("PRAGMA cell_size_check = ON");
    database.exec("PRAGMA mmap_size = 0");
    database.exec("PRAGMA trusted_schema = OFF");
}

Connection::Connection(const std::string& path, Access access) : path_(path), access_(access) {
    require_register_file(path);
    refuse_network(path, path);
    check_folder();
    try {
        guarded([this] {
            open_database();
            check_log();
            distrust(*database_);
            check_identity();
            make_present();
            load_settings();
        });
    } catch (...) {
        statements_.clear();
        throw;
    }
}

void Connection::check_folder() const {
    if (!may_write() || ::access(files::folder_of(path_).c_str(), W_OK | X_OK) == 0) return;
    throw InputError({path_}, fmt::format("the folder cannot be written to: {}, and a register has "
                                          "other files beside it while it is in use; accepted: a "
                                          "register in a folder that you may write to",
                                          std::generic_category().message(errno)));
}

void Connection::open_database() {
    // For reading too: who reads may have to bring in what a crash left in the log, and takes the
    // files beside it away. SQLite opens for reading alone what may not be written.
    // One thread at a time has it, so that SQLite need not keep others out.
    database_.emplace(sqlite_name(path_), SQLite::OPEN_READWRITE | SQLite::OPEN_NOMUTEX);
    sqlite3_extended_result_codes(database_->getHandle(), 1);
    sqlite3_busy_handler(database_->getHandle(), wait_for_others, &waiting_);
    if (may_write() && sqlite3_db_readonly(database_->getHandle(), "main") == 1) {
        throw InputError({path_},
                         "the register may not be written to; accepted: a file that you may write "
                         "to, in a folder that you may write to");
    }
}

void Connection::check_identity() {
    std::int64_t id = 0;
    try {
        id = database_->execAndGet("PRAGMA application_id").getInt64();
    } catch (const SQLite::Exception& error) {
        if ((error.getErrorCode() & 0xFF) != SQLITE_NOTADB) throw;
        throw InputError({path_}, fmt::format("this is no register; {}", made_by));
    }
    if (id != application_id)
        throw InputError({path_}, fmt::format("this is no register; {}", made_by));
    const int version = database_->execAndGet("PRAGMA user_version").getInt();
    if (version > present_version()) {
        throw InputError({path_}, fmt::format("this register is of version {}, and this program "
                                              "knows versions up to {}; accepted: a later program",
                                              version, present_version()));
    }
    if (version < 1)
        throw InputError({path_}, fmt::format("this register was never finished; {}", made_by));
}

void Connection::make_present() {
    check_length();
    if (database_->execAndGet("PRAGMA user_version").getInt() < present_version())
        migrate(*database_, migrations());
    lacks_protection_ = access_ == Access::Verify && lacks_only_triggers(*database_);
    if (!lacks_protection_ && !has_present_schema(*database_)) {
        throw InputError({path_},
                         fmt::format("its tables are not those of a register; {}", made_by));
    }
    if (may_write()) {
        database_->exec("PRAGMA journal_mode = WAL");
        database_->exec("PRAGMA journal_size_limit = 4194304");
        database_->exec("PRAGMA synchronous = FULL");
        database_->exec("PRAGMA secure_delete = ON");
    } else {
        database_->exec("PRAGMA query_only = ON");
    }
}

void Connection::load_settings() {
    std::string identity;
    Query all(*this, "SELECT key, value FROM setting");
    const auto whole = [](std::string_view digits) {
        std::int64_t value = 0;
        const auto [end, error] =
            std::from_chars(digits.data(), digits.data() + digits.size(), value);
        if (error != std::errc() || end != digits.data() + digits.size())
            throw Damaged{"a setting is no number"};
        return value;
    };
    while (all.next()) {
        const std::string_view key = all.text(0);
        const std::string_view value = all.text(1);
        if (key == "identity") {
            identity = value;
        } else if (key == "title") {
            settings_.title = value;
        } else if (key == "time_zone") {
            settings_.time_zone = value;
        } else if (key == "created_ms") {
            settings_.created.ms = whole(value);
        } else if (key == "retention_days") {
            settings_.retention_days = static_cast<int>(whole(value));
        } else {
            throw Damaged{"a setting is unknown"};
        }
    }
    beginning_ = beginning_of(settings_, identity);
}

}  // namespace earbudget::registers
