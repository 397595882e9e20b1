#include <filesystem>

#include <SQLiteCpp/Backup.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <sqlite3.h>
#include <sys/stat.h>

#include "earbudget/study/input_error.hpp"
#include "register/backup_body.hpp"
#include "register/connection.hpp"
#include "register/new_file.hpp"

namespace earbudget::registers {

namespace {

/// All pages in one step: of one moment, while others go on writing into the log.
void copy_pages(SQLite::Database& from, SQLite::Database& to) {
    SQLite::Backup copying(to, from);
    const int result = copying.executeStep();
    if (result != SQLITE_DONE) throw SQLite::Exception(to.getHandle(), result);
}

/// Permissions of what is copied: who may read the one may read the other.
mode_t permissions_of(const std::string& path) {
    struct stat found = {};
    constexpr mode_t only_the_owners = 0600;
    return ::stat(path.c_str(), &found) == 0 ? found.st_mode & 0666 : only_the_owners;
}

/// Opens what was made as anybody would, and has it told where it ends.
Head head_of_copy(const std::string& path, const std::string& place) {
    try {
        return Register::open(path, Access::Read).head();
    } catch (const InputError& error) {
        throw InputError({place},
                         fmt::format("the backup could not be read again: {}", error.message()));
    }
}

std::string absolute(const std::string& path) {
    std::error_code ignored;
    const auto folder =
        std::filesystem::canonical(std::filesystem::absolute(path).parent_path(), ignored);
    return ignored ? path : (folder / std::filesystem::path(path).filename()).string();
}

}  // namespace

std::string backup_body(const std::string& file, const Head& head) {
    constexpr auto as_bytes = nlohmann::json::error_handler_t::replace;
    return fmt::format("{}{},\"head\":\"{}\"}}}}", backup_body_begin,
                       nlohmann::json(file).dump(-1, ' ', false, as_bytes).substr(1), head.text());
}

std::optional<BackupRecord> read_backup_body(std::string_view body) {
    const auto read = nlohmann::json::parse(body, nullptr, false);
    const auto what = read.is_object() ? read.find("backup") : read.end();
    if (what == read.end() || !what->is_object()) return std::nullopt;
    const auto file = what->find("file");
    const auto head = what->find("head");
    if (file == what->end() || !file->is_string() || head == what->end() || !head->is_string())
        return std::nullopt;
    const auto parsed = Head::parse(head->get_ref<const std::string&>());
    if (!parsed) return std::nullopt;
    return BackupRecord{.file = file->get<std::string>(), .head = *parsed};
}

std::vector<BackupRecord> backups_of(Connection& connection) {
    std::vector<BackupRecord> backups;
    std::vector<std::int64_t> numbers;
    {
        Query all(connection, "SELECT n FROM entry WHERE kind = 'backup' ORDER BY n");
        while (all.next())
            numbers.push_back(all.number(0));
    }
    for (const std::int64_t n : numbers) {
        Query row(connection, content_by_number, n);
        if (!row.next()) throw Damaged{fmt::format("entry {}: its content is missing", n)};
        const Entry entry = checked_entry(row);
        auto backup = read_backup_body(entry.body);
        if (!backup) throw Damaged{fmt::format("entry {}: it tells of no backup", n)};
        std::error_code ignored;
        backup->n = n;
        backup->made = entry.recorded;
        backup->is_there = std::filesystem::exists(backup->file, ignored);
        backups.push_back(*std::move(backup));
    }
    return backups;
}

std::vector<BackupRecord> Register::backups() const {
    return connection_->guarded([this] { return backups_of(*connection_); });
}

BackupRecord Register::backup(const std::string& to, const std::optional<std::string>& by) {
    NewFile file(to, permissions_of(path()));
    fill_new(to, file.path(), [this](SQLite::Database& copy) {
        copy_pages(connection_->database(), copy);
        // One file by itself, which can be read where nothing can be written.
        copy.exec("PRAGMA journal_mode = DELETE");
    });
    BackupRecord backup{.made = now(), .file = absolute(to), .head = head_of_copy(file.path(), to)};
    in_one([&] {
        backup.n = connection_->guarded([&] {
            return append_any(*connection_, {.kind = EntryKind::Backup,
                                             .by = by,
                                             .from = backup.made,
                                             .to = backup.made,
                                             .body = backup_body(backup.file, backup.head)});
        });
        // Within: where it cannot be moved nothing is recorded, and where it cannot be recorded
        // it is taken away.
        file.move_to_place();
    });
    file.keep();
    return backup;
}

}  // namespace earbudget::registers
