// Backups and what is erased.
#include <filesystem>

#include <sys/stat.h>

#include "support/register_file.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

std::size_t files_in_folder(const std::string& folder) {
    std::size_t files = 0;
    for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(folder))
        ++files;
    return files;
}

/// All bytes of a register's files, as they lie there.
std::string all_bytes(const std::string& path) {
    std::string bytes;
    for (const char* ending : {"", "-wal", "-shm"})
        if (std::filesystem::exists(path + ending)) bytes += content_of(path + ending);
    return bytes;
}

constexpr Instant since{0};
constexpr Instant until{4'000'000'000'000};

}  // namespace

TEST_CASE("a backup is what the register was, by itself, and the register tells of it") {
    const RegisterFolder folder;
    folder.record(4);
    const std::string copy = folder.folder().path("copy.register");
    auto target = folder.open();
    const Head before = target.head();
    const auto backup = target.backup(copy, "operator-1");
    CHECK(backup.n == 5);
    CHECK(backup.head == before);
    CHECK(std::filesystem::path(backup.file).is_absolute());
    CHECK(std::filesystem::equivalent(backup.file, copy));
    CHECK(!std::filesystem::exists(copy + "-wal"));
    struct stat found = {};
    REQUIRE(::stat(copy.c_str(), &found) == 0);
    CHECK((found.st_mode & 0777) == 0600);
    REQUIRE(target.backups().size() == 1);
    CHECK(target.backups()[0].file == backup.file);
    CHECK(target.backups()[0].head == before);
    CHECK(target.backups()[0].is_there);
    {
        const auto restored = Register::open(copy, Access::Read);
        CHECK(restored.verify(before).is_intact());
        CHECK(restored.of_person("P-1", since, until).size() == 2);
        CHECK(restored.backups().empty());
    }
    auto restored = Register::open(copy, Access::Write);
    CHECK(restored.append(some_run("P-1", 9)) == 5);
    CHECK(restored.verify(before).is_intact());
    CHECK(target.verify(before).is_intact());
    std::filesystem::remove(copy);
    CHECK(!target.backups()[0].is_there);
}

TEST_CASE("a backup never goes over anything, and what fails leaves nothing") {
    const RegisterFolder folder;
    folder.record(4);
    auto target = folder.open();
    const std::string taken = folder.folder().write("taken", "something else");
    const std::string root = folder.folder().path("");
    const std::size_t files = files_in_folder(root);
    std::filesystem::create_symlink("nowhere", folder.folder().path("link"));
    for (const std::string name : {"taken", "link", "sessions.register"}) {
        CAPTURE(name);
        const std::string to = folder.folder().path(name);
        check_refusal_says([&] { target.backup(to); }, to, "exists");
    }
    const std::string nowhere = folder.folder().path("no/folder");
    check_refusal_says([&] { target.backup(nowhere); }, nowhere, "there is no folder");
    CHECK(content_of(taken) == "something else");
    CHECK(files_in_folder(root) == files + 1);
    CHECK(target.head().n == 4);
}

TEST_CASE("whoever is erased leaves no byte, and the rest is proven still") {
    const RegisterFolder folder;
    folder.record(40, {"P-secret-1", "P-2"});
    auto target = folder.open();
    const std::string early = folder.folder().path("early.register");
    NewEntry event = some_run("P-secret-1", 50, 3);
    event.kind = EntryKind::SessionStart;
    event.body = "{\"note\":\"" + std::string(9'000, 'x') + " tinnitus-of-the-left-ear\"}";
    target.append(event);
    target.append(some_run("Q-secret-2", 51, 4));
    target.link("P-secret-1", "Q-secret-2");
    // What is about nobody, in a session of theirs; somebody else who was there.
    target.append({.kind = EntryKind::Event,
                   .session = 3,
                   .from = {9},
                   .to = {9},
                   .body = "{\"note\":\"pain-of-nobody\"}"});
    target.append(some_run("nurse-1", 51, 3));
    NewEntry by_them = some_run("P-2", 60);
    by_them.by = "P-secret-1";
    target.append(by_them);
    target.backup(early);
    const Head head = target.head();
    std::vector<std::string> salts;
    {
        SQLite::Database database(folder.path(), SQLite::OPEN_READONLY);
        SQLite::Statement all(database,
                              "SELECT c.salt FROM content c JOIN code k ON k.person = c.person "
                              "WHERE k.code LIKE '%secret%' UNION SELECT salt FROM code WHERE code "
                              "LIKE '%secret%'");
        while (all.executeStep())
            salts.push_back(all.getColumn(0).getString());
    }
    CHECK(salts.size() == 25);
    const std::string bytes_before = all_bytes(folder.path());
    for (const std::string& salt : salts)
        CHECK(bytes_before.find(salt) != std::string::npos);

    const Erased erased = target.erase("Q-secret-2", "operator-1");
    CHECK(erased.entries == 24);
    CHECK(erased.codes == std::vector<std::string>{"P-secret-1", "Q-secret-2"});
    CHECK(!erased.traces_left);
    REQUIRE(erased.backups.size() == 1);
    CHECK(std::filesystem::equivalent(erased.backups[0].file, early));

    const std::string bytes = all_bytes(folder.path());
    for (const std::string word : {"secret", "tinnitus-of", "pain-of-nobody", "xxxxxxxx"})
        CHECK(bytes.find(word) == std::string::npos);
    for (const std::string& salt : salts)
        CHECK(bytes.find(salt) == std::string::npos);
    CHECK(content_of(early).find("P-secret-1") != std::string::npos);

    CHECK(!target.knows("P-secret-1"));
    CHECK(target.of_person("P-2", since, until).size() == 21);
    CHECK(!target.of_person("P-2", since, until).back().by);
    CHECK(target.of_session(3).size() == 1);
    const auto result = target.verify(head);
    CHECK(result.is_intact());
    CHECK(result.erased == 24);
    CHECK(result.entries == 48);
    check_refusal_says([&] { target.erase("P-secret-1"); }, folder.path(), "is not known");
    // The same code is that of a new person then.
    target.append(some_run("P-secret-1", 70));
    CHECK(target.of_person("P-secret-1", since, until).size() == 1);
    CHECK(target.of_person("P-2", since, until).size() == 21);
    CHECK(!target.of_person("P-2", since, until).back().by);
    CHECK(target.verify(head).is_intact());
}

TEST_CASE("backups that were made before somebody came do not hold them") {
    const RegisterFolder folder;
    auto target = folder.open();
    target.append(some_run("P-1", 0));
    target.backup(folder.folder().path("first"));
    target.append(some_run("P-2", 1));
    target.backup(folder.folder().path("second"));
    const auto erased = target.erase("P-2");
    REQUIRE(erased.backups.size() == 1);
    CHECK(erased.backups[0].file.ends_with("/second"));
}

TEST_CASE("while others read, what is erased leaves traces, which the next who writes wipes") {
    const RegisterFolder folder;
    folder.record(30, {"P-secret", "P-2"});
    {
        auto target = folder.open();
        auto reader = folder.open(Access::Read);
        reader.in_one([&] {
            CHECK(reader.head().n == 30);
            const auto erased = target.erase("P-secret");
            CHECK(erased.traces_left);
            CHECK(reader.of_person("P-secret", since, until).size() == 15);
        });
        CHECK(reader.of_person("P-secret", since, until).empty());
        CHECK(all_bytes(folder.path()).find("P-secret") != std::string::npos);
        const auto other = folder.open();
        CHECK(all_bytes(folder.path()).find("P-secret") == std::string::npos);
    }
    CHECK(all_bytes(folder.path()).find("P-secret") == std::string::npos);
    CHECK(folder.open().verify().is_intact());
}

TEST_CASE("whose entries the site need not keep any longer") {
    const QuickFolder folder;
    const std::string path = folder.path("r");
    Register::create(path, {.time_zone = "UTC", .retention_days = 30});
    auto target = Register::open(path, Access::Write);
    for (int n = 0; n < 4; ++n)
        target.append(some_run(n % 2 == 0 ? "P-1" : "P-2", n));
    target.append(some_run("P-3", 400));
    constexpr std::int64_t days = 24 * 60 * minute_ms;
    const std::int64_t end_of_P2 = a_monday_ms + 18 * minute_ms;
    CHECK(target.due({end_of_P2 - 5 * minute_ms + 30 * days}).empty());
    auto due = target.due({end_of_P2 + 30 * days});
    REQUIRE(due.size() == 1);
    CHECK(due[0].codes == std::vector<std::string>{"P-1"});
    CHECK(due[0].newest.ms == end_of_P2 - 5 * minute_ms);
    CHECK(due[0].entries == 2);
    CHECK(target.due({end_of_P2 + 1 + 30 * days}).size() == 2);
    const RegisterFolder keeps;
    CHECK(keeps.open().due(until).empty());
}
