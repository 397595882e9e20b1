#pragma once

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include <SQLiteCpp/SQLiteCpp.h>
#include <doctest/doctest.h>
#include <sqlite3.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"
#include "register/register.hpp"
#include "support/temporary_folder.hpp"

namespace earbudget::test {

inline constexpr std::int64_t a_monday_ms = 1'796'000'000'000;
inline constexpr std::int64_t minute_ms = 60'000;

/// A run of three minutes for a person, the n-th of a row of them.
inline registers::NewEntry some_run(const std::string& as, int n, std::int64_t session = 1) {
    const std::int64_t from = a_monday_ms + n * 5 * minute_ms;
    return {.kind = registers::EntryKind::Run,
            .as = as,
            .by = "operator-1",
            .session = session,
            .from = {from},
            .to = {from + 3 * minute_ms},
            .body = "{\"sequence\":\"epi\",\"run\":" + std::to_string(n) + "}",
            .offset_minutes = 60};
}

/// A folder in memory, where there is such a place: what a disk needs to store each entry for good
/// would be most of the tests' time.
class QuickFolder {
  public:
    QuickFolder() {
        const std::filesystem::path memory = "/dev/shm";
        const bool is_there = ::access(memory.c_str(), W_OK | X_OK) == 0;
        std::string pattern =
            ((is_there ? memory : std::filesystem::temp_directory_path()) / "earbudget-XXXXXX")
                .string();
        if (!::mkdtemp(pattern.data())) throw std::runtime_error("no temporary folder");
        path_ = pattern;
    }
    QuickFolder(const QuickFolder&) = delete;
    QuickFolder& operator=(const QuickFolder&) = delete;
    ~QuickFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }

    [[nodiscard]] std::string path(std::string_view name) const { return (path_ / name).string(); }
    [[nodiscard]] std::string write(std::string_view name, std::string_view content) const {
        std::ofstream(path_ / name, std::ios::binary) << content;
        return path(name);
    }

  private:
    std::filesystem::path path_;
};

/// A new register in a folder of its own.
class RegisterFolder {
  public:
    RegisterFolder() {
        registers::Register::create(path(), {.title = "Saltmarsh", .time_zone = "Europe/Berlin"});
    }
    [[nodiscard]] std::string path() const { return folder_.path("sessions.register"); }
    [[nodiscard]] const QuickFolder& folder() const { return folder_; }
    [[nodiscard]] registers::Register open(
        registers::Access access = registers::Access::Write) const {
        return registers::Register::open(path(), access);
    }
    /// Records runs of some people in turn.
    void record(int runs, const std::vector<std::string>& people = {"P-1", "P-2"}) const {
        auto target = open();
        for (int n = 0; n < runs; ++n)
            target.append(some_run(people[static_cast<std::size_t>(n) % people.size()], n));
    }

  private:
    QuickFolder folder_;
};

/// Changes a database as somebody who means to deceive would: no trigger minds.
inline void tamper(const std::string& path, const std::string& statements) {
    SQLite::Database database(path, SQLite::OPEN_READWRITE);
    sqlite3_db_config(database.getHandle(), SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
    sqlite3_db_config(database.getHandle(), SQLITE_DBCONFIG_ENABLE_FKEY, 0, nullptr);
    database.exec(statements);
}

/// What is said when something is refused; empty where it is not.
template <class Work>
std::string refusal_of(Work&& work) {
    try {
        work();
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

/// That something is refused at a file, with words and with what is accepted.
template <class Work>
void check_refusal_says(Work&& work, const std::string& file, const std::string& words) {
    const std::string refusal = refusal_of(work);
    CAPTURE(refusal);
    CHECK(refusal.find(file + ":") == 0);
    CHECK(refusal.find(words) != std::string::npos);
    CHECK(refusal.find("accepted: ") != std::string::npos);
}

}  // namespace earbudget::test
