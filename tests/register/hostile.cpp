// Files that somebody or something changed: refused, or read as what was recorded, never a crash
// and never something else.
#include <map>
#include <random>

#include "support/register_file.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

constexpr Instant always_from{0};
constexpr Instant always_to{4'000'000'000'000};

std::map<std::int64_t, std::string> bodies_of(const std::vector<Entry>& entries) {
    std::map<std::int64_t, std::string> bodies;
    for (const Entry& entry : entries)
        bodies[entry.n] = entry.body;
    return bodies;
}

/// Reads a register in every way; what it told of two people, nothing where it refused.
std::map<std::int64_t, std::string> read_in_every_way(const std::string& path) {
    std::map<std::int64_t, std::string> told;
    const auto add = [&told](const std::vector<Entry>& entries) {
        for (const auto& [n, body] : bodies_of(entries))
            told[n] = body;
    };
    const auto attempt = [](const auto& work) {
        const std::string refusal = refusal_of(work);
        CAPTURE(refusal);
        CHECK((refusal.empty() || refusal.find("accepted: ") != std::string::npos));
    };
    attempt([&] {
        auto target = Register::open(path, Access::Read);
        for (const std::string code : {"P-1", "P-2"}) {
            attempt([&] { add(target.of_person(code, always_from, always_to)); });
            attempt([&] { static_cast<void>(target.copy_of(code)); });
        }
        attempt([&] { add(target.of_session(1)); });
        attempt([&] {
            target.each(always_from, always_to, [&](const Entry& entry) { add({entry}); });
        });
        attempt([&] { static_cast<void>(target.head()); });
        attempt([&] { static_cast<void>(target.codes()); });
        attempt([&] { static_cast<void>(target.history(3)); });
        attempt([&] { static_cast<void>(target.backups()); });
        attempt([&] { static_cast<void>(target.newest_session()); });
    });
    return told;
}

/// Changes rows as if tables had no types and conditions, which they have again then.
void tamper_with_types(const std::string& path, const std::string& change) {
    std::map<std::string, std::string> schema;
    {
        SQLite::Database database(path, SQLite::OPEN_READWRITE);
        SQLite::Statement all(database, "SELECT name, sql FROM sqlite_schema WHERE type = 'table'");
        while (all.executeStep())
            schema[all.getColumn(0)] = all.getColumn(1).getString();
    }
    tamper(path,
           "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = replace(replace(sql, "
           "'STRICT', ''), 'NOT NULL', '') WHERE name IN ('content', 'entry', 'person')");
    tamper(path, "PRAGMA ignore_check_constraints = ON; " + change);
    SQLite::Database database(path, SQLite::OPEN_READWRITE);
    database.exec("PRAGMA writable_schema = ON");
    for (const auto& [name, sql] : schema) {
        SQLite::Statement restore(database, "UPDATE sqlite_schema SET sql = ? WHERE name = ?");
        restore.bind(1, sql);
        restore.bind(2, name);
        restore.exec();
    }
}

bool is_found_damaged(const std::string& path) {
    bool intact = false;
    const std::string refusal =
        refusal_of([&] { intact = Register::open(path, Access::Read).verify().is_intact(); });
    return !intact || !refusal.empty();
}

void check_told_or_found(const RegisterFolder& folder,
                         const std::map<std::int64_t, std::string>& recorded) {
    const auto told = read_in_every_way(folder.path());
    for (const auto& [n, body] : told) {
        REQUIRE(recorded.contains(n));
        CHECK(recorded.at(n) == body);
    }
    if (told.size() < recorded.size()) CHECK(is_found_damaged(folder.path()));
}

}  // namespace

TEST_CASE("pages that are damaged are refused or do no harm") {
    const RegisterFolder folder;
    folder.record(60);
    {
        auto target = folder.open();
        NewEntry long_one = some_run("P-1", 70);
        long_one.body = "{\"note\":\"" + std::string(20'000, 'x') + "\"}";
        target.append(long_one);
    }
    const std::string whole = content_of(folder.path());
    const auto recorded = bodies_of(folder.open(Access::Read).of_session(1));
    REQUIRE(recorded.size() == 61);
    constexpr std::size_t page = 4096;
    std::mt19937 random(7);
    const auto try_with = [&](std::string bytes) {
        std::ofstream(folder.path(), std::ios::binary) << bytes;
        check_told_or_found(folder, recorded);
    };
    for (std::size_t at = 0; at < whole.size(); at += page) {
        CAPTURE(at);
        for (const char filling : {'\0', '\xff', '\x0d'}) {
            std::string bytes = whole;
            bytes.replace(at, page, page, filling);
            try_with(bytes);
        }
        for (int n = 0; n < 8; ++n) {
            std::string bytes = whole;
            // Most of what matters stands at the beginning of a page.
            const std::size_t where = at + random() % (n % 2 == 0 ? 64 : page);
            bytes[where] = static_cast<char>(random());
            CAPTURE(where);
            try_with(bytes);
        }
        const std::size_t other = random() % (whole.size() / page) * page;
        std::string bytes = whole;
        bytes.replace(at, page, whole.substr(other, page));
        try_with(bytes);
    }
}

TEST_CASE("rows that cannot be are refused, whatever their types and sizes") {
    for (const std::string change :
         {"UPDATE content SET body = NULL WHERE n = 3", "UPDATE content SET body = 3 WHERE n = 3",
          "UPDATE content SET body = x'00ff' WHERE n = 3",
          "UPDATE content SET from_ms = 'soon' WHERE n = 3",
          "UPDATE content SET to_ms = 9e300 WHERE n = 3",
          "UPDATE content SET person = 'P-1' WHERE n = 3",
          "UPDATE content SET session = 1.5 WHERE n = 3",
          "UPDATE content SET salt = NULL WHERE n = 3",
          "UPDATE entry SET commitment = 'x' WHERE n = 3", "UPDATE entry SET kind = 3 WHERE n = 3",
          "UPDATE entry SET hash = '' WHERE n = 60", "UPDATE person SET joined = 'x'",
          "UPDATE person SET seal = 5"}) {
        CAPTURE(change);
        const RegisterFolder folder;
        folder.record(6);
        const auto recorded = bodies_of(folder.open(Access::Read).of_session(1));
        tamper_with_types(folder.path(), change);
        check_told_or_found(folder, recorded);
    }
}

TEST_CASE("bodies that are huge, and texts that go on for ever, are refused") {
    const RegisterFolder folder;
    folder.record(4);
    tamper(folder.path(), "UPDATE content SET body = CAST(zeroblob(20000000) AS TEXT) WHERE n = 3");
    const auto target = folder.open(Access::Read);
    check_refusal_says([&] { static_cast<void>(target.of_person("P-1", always_from, always_to)); },
                       folder.path(), "the register is damaged: ");
    CHECK(!target.verify().is_intact());
    NewEntry long_one = some_run("P-1", 9);
    long_one.body = "{\"a\":\"" + std::string(1 << 20, 'x') + "\"}";
    check_refusal_says([&] { folder.open().append(long_one); }, folder.path(), "is too long");
}

TEST_CASE("a body as deep as it can be is read like any other") {
    const RegisterFolder folder;
    auto target = folder.open();
    target.append(some_run("P-1", 0));
    constexpr std::size_t depth = 500'000;
    const std::string deep = std::string(depth, '[') + std::string(depth, ']');
    target.append({.kind = EntryKind::Correction,
                   .from = {a_monday_ms},
                   .to = {a_monday_ms},
                   .corrects = 1,
                   .body = "{\"why\":\"deep\",\"kind\":\"run\",\"a\":" + deep + "}"});
    REQUIRE(target.of_person("P-1", always_from, always_to).size() == 1);
    CHECK(target.verify().is_intact());
}

TEST_CASE("links and corrections that lead in a circle end, and are found") {
    for (const std::string change :
         {"UPDATE person SET joined = 3 WHERE id = 1; UPDATE person SET joined = 1 WHERE id = 3",
          "UPDATE person SET joined = 99",
          "UPDATE content SET corrects = 5 WHERE n = 3; UPDATE "
          "content SET corrects = 3 WHERE n = 5",
          "UPDATE content SET corrects = n", "UPDATE content SET corrects = n + 1",
          "UPDATE content SET corrects = 77 WHERE n = 3"}) {
        CAPTURE(change);
        const RegisterFolder folder;
        folder.record(6);
        const auto recorded = bodies_of(folder.open(Access::Read).of_session(1));
        tamper(folder.path(), "PRAGMA ignore_check_constraints = ON; " + change);
        check_told_or_found(folder, recorded);
        CHECK(is_found_damaged(folder.path()));
    }
}
