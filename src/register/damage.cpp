// What a damaged register still tells: how long it is, and from which backup it can be restored.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <system_error>

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <sqlite3.h>

#include "earbudget/study/input_error.hpp"
#include "register/backup_body.hpp"
#include "register/connection.hpp"

namespace earbudget::registers {

namespace {

std::uint32_t big_endian(std::string_view bytes, std::size_t at) {
    std::uint32_t value = 0;
    for (std::size_t n = 0; n < 4; ++n)
        value = value << 8U | static_cast<unsigned char>(bytes[at + n]);
    return value;
}

sqlite3_file* open_file_of(SQLite::Database& database) {
    sqlite3_file* file = nullptr;
    sqlite3_file_control(database.getHandle(), "main", SQLITE_FCNTL_FILE_POINTER, &file);
    return file != nullptr && file->pMethods != nullptr ? file : nullptr;
}

bool has_log(const std::string& path) {
    std::error_code ignored;
    const auto size = std::filesystem::file_size(path + "-wal", ignored);
    return !ignored && size > 0;
}

/// The newest backup told of in some bytes, as JSON that stands in them.
void look_for_backups(std::string_view bytes, std::optional<BackupRecord>& newest) {
    constexpr std::size_t longest = 8192;
    for (std::size_t at = bytes.find(backup_body_begin); at != std::string_view::npos;
         at = bytes.find(backup_body_begin, at + 1)) {
        const std::string_view rest = bytes.substr(at, longest);
        const std::size_t end = rest.find("}}");
        if (end == std::string_view::npos) continue;
        auto found = read_backup_body(rest.substr(0, end + 2));
        std::error_code ignored;
        if (!found || !std::filesystem::exists(found->file, ignored)) continue;
        if (!newest || found->head.n >= newest->head.n) newest = std::move(found);
    }
}

}  // namespace

std::string Connection::raw_bytes(std::int64_t from, int size) {
    sqlite3_file* const file = database_ ? open_file_of(*database_) : nullptr;
    if (file == nullptr || from >= raw_size()) return "";
    std::string bytes(static_cast<std::size_t>(std::min<std::int64_t>(size, raw_size() - from)),
                      '\0');
    if (file->pMethods->xRead(file, bytes.data(), static_cast<int>(bytes.size()), from) !=
        SQLITE_OK) {
        return "";
    }
    return bytes;
}

std::int64_t Connection::raw_size() {
    sqlite3_file* const file = database_ ? open_file_of(*database_) : nullptr;
    sqlite3_int64 size = 0;
    if (file == nullptr || file->pMethods->xFileSize(file, &size) != SQLITE_OK) return 0;
    return size;
}

void Connection::check_log() {
    // A copy that was put in the place of a register, whose log lies there still: SQLite would
    // bring that in. Offset by SQLite's file format, section 1.3: 2 where a file has a log.
    const std::string header = raw_bytes(0, 20);
    const bool needs_none = header.size() == 20 && header[18] == 1 && header[19] == 1;
    if (!needs_none || !has_log(path_)) return;
    throw InputError({path_},
                     fmt::format("\"{}-wal\" beside it belongs to what was here before; accepted: "
                                 "that and \"{}-shm\" put aside",
                                 path_, path_));
}

void Connection::check_is_in_its_place() {
    int has_moved = 0;
    sqlite3_file_control(database_->getHandle(), "main", SQLITE_FCNTL_HAS_MOVED, &has_moved);
    if (has_moved == 0) return;
    throw InputError({path_},
                     "the register was moved away, removed or replaced while it was in use; "
                     "accepted: the same once more, with the one that is there now");
}

void Connection::check_length() {
    // With a log the file's own header may be of another moment; SQLite knows then.
    constexpr int header_size = 100;
    const bool had_log = has_log(path_);
    const std::string header = raw_bytes(0, header_size);
    const std::int64_t size = raw_size();
    if (had_log || has_log(path_) || header.size() < header_size) return;
    // Offsets by SQLite's file format, section 1.3: 16 page size, 28 pages; 1 stands for 65536.
    const std::uint32_t stated = big_endian(header, 16) >> 16U;
    const std::int64_t pages = big_endian(header, 28);
    const std::int64_t expected = pages * (stated == 1 ? 65536 : stated);
    if (size < expected) {
        throw Damaged{
            fmt::format("{} of its {} bytes are missing at its end", expected - size, expected)};
    }
}

std::string Connection::restore_to_make() {
    constexpr int block = 1 << 20;
    constexpr int overlap = 1 << 13;
    std::optional<BackupRecord> newest;
    for (std::int64_t at = 0; at < raw_size(); at += block)
        look_for_backups(raw_bytes(at, block + overlap), newest);
    std::ifstream log(path_ + "-wal", std::ios::binary);
    std::string kept;
    for (std::string bytes(block, '\0'); log.read(bytes.data(), block) || log.gcount() > 0;) {
        kept.append(bytes, 0, static_cast<std::size_t>(log.gcount()));
        look_for_backups(kept, newest);
        if (kept.size() > overlap) kept.erase(0, kept.size() - overlap);
    }
    if (!newest) {
        return "a backup put in its place, when this file and those beside it that end in \"-wal\" "
               "and \"-shm\" are put aside; it names none that is there";
    }
    return fmt::format(
        "its last backup that is there, \"{}\", copied to its place when this file and those "
        "beside it that end in \"-wal\" and \"-shm\" are put aside; verify that with --head {}, "
        "and "
        "record again what came after entry {}",
        newest->file, newest->head.text(), newest->head.n);
}

}  // namespace earbudget::registers
