// What is opened and what is not; each refusal says what to do.
#include <cstring>
#include <filesystem>
#include <functional>

#include <sys/stat.h>
#include <sys/wait.h>

#include "register/schema.hpp"
#include "support/register_file.hpp"
#include "support/restricted.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

std::string refusal_to_open(const std::string& path, Access access) {
    return refusal_of([&] { static_cast<void>(Register::open(path, access)); });
}

void check_not_opened(const std::string& path, const std::string& words) {
    for (const Access access : {Access::Read, Access::Write}) {
        CAPTURE(static_cast<int>(access));
        check_refusal_says([&] { static_cast<void>(Register::open(path, access)); }, path, words);
    }
}

/// Runs work in a process of its own, where permissions count even for root; what it returned.
std::string in_process(const std::function<std::string()>& work) {
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
        obey_permissions();
        if (::geteuid() == 0) {
            __user_cap_header_struct version{_LINUX_CAPABILITY_VERSION_3, 0};
            __user_cap_data_struct none[_LINUX_CAPABILITY_U32S_3] = {};
            if (::syscall(SYS_capset, &version, none) != 0) ::_exit(125);
        }
        std::string said;
        try {
            said = work();
        } catch (const std::exception& error) {
            said = std::string("threw: ") + error.what();
        }
        static_cast<void>(!::write(ends[1], said.data(), said.size()));
        ::_exit(0);
    }
    ::close(ends[1]);
    std::string said;
    char block[4096];
    for (ssize_t got = 0; (got = ::read(ends[0], block, sizeof block)) > 0;)
        said.append(block, static_cast<std::size_t>(got));
    ::close(ends[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    CHECK(status == 0);
    return said;
}

}  // namespace

TEST_CASE("a register is never made by accident, nor over anything") {
    const RegisterFolder folder;
    const std::string missing = folder.folder().path("missing");
    check_not_opened(missing, "there is no such register");
    CHECK(!std::filesystem::exists(missing));
    check_not_opened("", "there is no such register");
    check_not_opened(":memory:", "there is no such register");
    check_not_opened("file:x?mode=memory", "there is no such register");
    check_not_opened(folder.folder().path("sessions.register/x"), "there is no such register");
    check_not_opened(folder.folder().path(""), "this is a folder");
    check_not_opened("/dev/null", "not a regular file");
    const std::string pipe = folder.folder().path("pipe");
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    check_not_opened(pipe, "not a regular file");
    const RegisterSettings settings{.time_zone = "UTC"};
    for (const std::string& path : {folder.path(), pipe, folder.folder().path("")}) {
        CAPTURE(path);
        check_refusal_says([&] { Register::create(path, settings); }, path, "exists");
    }
    std::filesystem::create_symlink(missing, folder.folder().path("link"));
    const std::string link = folder.folder().path("link");
    check_refusal_says([&] { Register::create(link, settings); }, link, "exists");
    const std::string nowhere = folder.folder().path("no/folder");
    check_refusal_says([&] { Register::create(nowhere, settings); }, nowhere, "there is no folder");
    check_refusal_says([&] { Register::create(missing, {}); }, missing, "time zone");
    check_refusal_says(
        [&] { Register::create(missing, {.time_zone = "UTC", .retention_days = 0}); }, missing,
        "0 days");
    CHECK(!std::filesystem::exists(missing));
}

TEST_CASE("a name is a file's and nothing else, and nothing is left beside it") {
    const QuickFolder folder;
    const auto before = std::filesystem::current_path();
    std::filesystem::current_path(folder.path(""));
    for (const std::string name :
         {"file:a?mode=memory", ":memory:", "plain", "with 'quote\" %41"}) {
        CAPTURE(name);
        Register::create(name, {.time_zone = "UTC"});
        CHECK(std::filesystem::exists("./" + name));
        CHECK(Register::open(name, Access::Write).append(some_run("P-1", 0)) == 1);
        CHECK(Register::open(name, Access::Read).head().n == 1);
    }
    std::size_t files = 0;
    for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator("."))
        ++files;
    CHECK(files == 4);
    struct stat found = {};
    REQUIRE(::stat("plain", &found) == 0);
    CHECK((found.st_mode & 0777) == 0600);
    std::filesystem::current_path(before);
}

TEST_CASE("other files and registers of other versions are refused") {
    const RegisterFolder folder;
    const auto write = [&](const std::string& name, const std::string& content) {
        return folder.folder().write(name, content);
    };
    check_not_opened(write("empty", ""), "this is no register");
    check_not_opened(write("text", "kind = \"plan\"\n"), "this is no register");
    check_not_opened(write("long-text", std::string(10'000, 'x')), "this is no register");
    const std::string other = folder.folder().path("other");
    SQLite::Database(other, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE)
        .exec("CREATE TABLE person(id)");
    check_not_opened(other, "this is no register");
    tamper(folder.path(), "PRAGMA user_version = 2");
    check_not_opened(folder.path(), "this register is of version 2");
    tamper(folder.path(), "PRAGMA user_version = 0");
    check_not_opened(folder.path(), "never finished");
    tamper(folder.path(), "PRAGMA user_version = -1");
    check_not_opened(folder.path(), "never finished");
    tamper(folder.path(), "PRAGMA user_version = 1");
    CHECK(refusal_to_open(folder.path(), Access::Write).empty());
}

TEST_CASE("tables that are not the register's are refused, whatever was planted") {
    for (const std::string planted :
         {"CREATE TRIGGER more AFTER INSERT ON content BEGIN DELETE FROM content; END",
          "CREATE VIEW more AS SELECT 1", "CREATE TABLE more(x)",
          "CREATE INDEX more ON entry(kind)", "CREATE VIRTUAL TABLE more USING fts5(x)",
          "DROP TRIGGER content_stays", "DROP INDEX content_session",
          "ALTER TABLE content ADD COLUMN more TEXT",
          "DROP TRIGGER content_stays; CREATE TRIGGER content_stays BEFORE UPDATE ON content BEGIN "
          "SELECT 1; END",
          "DROP TABLE content; CREATE VIEW content AS SELECT 1 AS n"}) {
        CAPTURE(planted);
        const RegisterFolder folder;
        folder.record(2);
        tamper(folder.path(), planted);
        check_not_opened(folder.path(), "its tables are not those of a register");
    }
}

TEST_CASE("a register of an earlier version is brought to the present, in one step or not at all") {
    const QuickFolder folder;
    const std::string path = folder.path("r");
    const auto open = [&] {
        return SQLite::Database(path, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    };
    constexpr std::string_view first[] = {"CREATE TABLE one(x INTEGER)",
                                          "INSERT INTO one VALUES (7)"};
    constexpr std::string_view second[] = {"CREATE TABLE two(x INTEGER) STRICT",
                                           "INSERT INTO two SELECT x FROM one", "DROP TABLE one"};
    constexpr std::string_view broken[] = {"DROP TABLE one", "INSERT INTO nowhere VALUES (1)"};
    const Statements all[] = {first, second};
    const Statements only_first[] = {first};
    const Statements fails[] = {first, broken};
    {
        auto database = open();
        migrate(database, only_first);
        CHECK(database.execAndGet("PRAGMA user_version").getInt() == 1);
        CHECK_THROWS_AS(migrate(database, fails), SQLite::Exception);
        CHECK(database.execAndGet("PRAGMA user_version").getInt() == 1);
        CHECK(database.execAndGet("SELECT x FROM one").getInt() == 7);
        migrate(database, all);
        migrate(database, all);
        CHECK(database.execAndGet("PRAGMA user_version").getInt() == 2);
        CHECK(database.execAndGet("SELECT x FROM two").getInt() == 7);
        CHECK(!has_present_schema(database));
    }
    // The present steps, from every version before: what they make is a register's.
    for (std::size_t version = 0; version < migrations().size(); ++version) {
        CAPTURE(version);
        SQLite::Database database(":memory:", SQLite::OPEN_READWRITE);
        migrate(database, migrations().first(version));
        migrate(database, migrations());
        CHECK(has_present_schema(database));
    }
}

TEST_CASE("who may not write reads where that can be, and is told what else to do") {
    const RegisterFolder folder;
    folder.record(3);
    const std::string copy = folder.folder().path("copy");
    folder.open().backup(copy);
    using std::filesystem::perms;
    const auto permit = [](const std::string& path, perms permissions) {
        std::filesystem::permissions(path, permissions);
    };
    const auto entries = [](const std::string& path, Access access) {
        return in_process(
            [&] { return std::to_string(Register::open(path, access).head().n) + " entries"; });
    };
    permit(copy, perms::owner_read);
    permit(folder.path(), perms::owner_read);
    CHECK(entries(copy, Access::Read) == "3 entries");
    CHECK(entries(folder.path(), Access::Read) == "4 entries");
    CHECK(entries(folder.path(), Access::Write).find("may not be written to") != std::string::npos);
    permit(folder.folder().path(""), perms::owner_read | perms::owner_exec);
    CHECK(entries(copy, Access::Read) == "3 entries");
    const std::string said = entries(folder.path(), Access::Read);
    CAPTURE(said);
    const bool is_read_or_told =
        said == "4 entries" || said.find("a backup, which can be read anywhere") != said.npos;
    CHECK(is_read_or_told);
    CHECK(entries(folder.path(), Access::Write).find("the folder cannot be written to") !=
          std::string::npos);
    permit(folder.path(), perms::none);
    CHECK(entries(folder.path(), Access::Read).find("Permission denied") != std::string::npos);
    permit(folder.folder().path(""), perms::owner_all);
}
