// The chain: what was changed, removed or moved is found and named.
#include "register/chain.hpp"

#include <fmt/format.h>

#include "files/open_file.hpp"
#include "support/register_file.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

void check_found(const RegisterFolder& folder, const std::string& words,
                 const std::optional<Head>& head = {}) {
    const auto result = folder.open(Access::Read).verify(head);
    REQUIRE(!result.is_intact());
    CHECK(result.findings[0].text() == words);
}

struct Tampering {
    std::string statements, words;
};

}  // namespace

TEST_CASE("sums are of texts that are put together as is written") {
    const std::string salt(16, 's'), seal(32, 'p'), previous(32, '\0');
    const Content content{salt, seal, {}, 12, 1000, -5, 60, {}, "{}"};
    CHECK(hexadecimal(bytes_of(commitment_of(content))) ==
          files::sha256_of_text("28:earbudget register content 116:" + salt + "32:" + seal +
                                "-2:124:10002:-52:60-2:{}"));
    CHECK(hexadecimal(bytes_of(hash_of({3, 77, "run", seal, previous}))) ==
          files::sha256_of_text("26:earbudget register entry 11:32:773:run32:" + seal +
                                "32:" + previous));
    CHECK(hexadecimal(bytes_of(seal_of(salt, "P-1", 9))) ==
          files::sha256_of_text("25:earbudget register code 116:" + salt + "3:P-11:9"));
    CHECK(hexadecimal(bytes_of(beginning_of({"a", "b", 30, {5}}, "id"))) ==
          files::sha256_of_text("20:earbudget register 12:id1:a1:b2:301:5"));
}

TEST_CASE("heads are read as they are written") {
    const Head head{12, std::string(62, '0') + "af"};
    CHECK(head.text() == "12:" + std::string(62, '0') + "af");
    CHECK(Head::parse(head.text()) == head);
    CHECK(Head::parse("12:" + std::string(62, '0') + "AF") == head);
    for (const std::string wrong : {"", ":", "12", "12:", "-1:", "x:", "+1:", " 1:", "1 :"})
        CHECK(!Head::parse(wrong + (wrong.ends_with(':') && wrong.size() > 1 && wrong != "12:"
                                        ? std::string(64, '0')
                                        : "")));
    CHECK(!Head::parse("12:" + std::string(63, '0')));
    CHECK(!Head::parse("12:" + std::string(63, '0') + "g"));
    CHECK(!Head::parse("99999999999999999999:" + std::string(64, '0')));
}

TEST_CASE("an untouched register is intact, with any head that it had") {
    const RegisterFolder folder;
    std::vector<Head> heads{folder.open().head()};
    CHECK(heads[0].n == 0);
    CHECK(folder.open().verify(heads[0]).is_intact());
    for (int n = 0; n < 5; ++n) {
        auto target = folder.open();
        target.append(some_run("P-1", n));
        heads.push_back(target.head());
    }
    for (const Head& head : heads) {
        const auto result = folder.open(Access::Read).verify(head);
        CHECK(result.is_intact());
        CHECK(result.head == heads.back());
        CHECK(result.entries == 5);
        CHECK(result.proven_until() == head.n);
        CHECK(result.clock_was_set_back.empty());
    }
    CHECK(folder.open().verify().proven_until() == 0);
}

TEST_CASE("the first entry that was changed, removed or moved is named") {
    const std::string entry_changed = "entry 3: it is not what was recorded";
    const std::string content_changed = "entry 3: its content is not what was recorded";
    const Tampering all[] = {
        {"UPDATE entry SET recorded_ms = recorded_ms - 1 WHERE n = 3", entry_changed},
        {"UPDATE entry SET kind = 'task' WHERE n = 3", entry_changed},
        {"UPDATE entry SET commitment = zeroblob(32) WHERE n = 3", entry_changed},
        {"UPDATE entry SET previous = zeroblob(32) WHERE n = 3", entry_changed},
        {"UPDATE entry SET hash = zeroblob(32) WHERE n = 3", entry_changed},
        {"DELETE FROM entry WHERE n = 3; DELETE FROM content WHERE n = 3",
         "entry 3: it was removed"},
        {"DELETE FROM entry WHERE n = 3",
         "the register: the file is damaged (a row of content leads "
         "nowhere)"},
        {"DELETE FROM content WHERE n = 3",
         "entry 3: its content is missing, and no entry says that it was erased"},
        {"UPDATE entry SET n = 99 WHERE n = 3; UPDATE entry SET n = 3 WHERE n = 4; UPDATE entry "
         "SET "
         "n = 4 WHERE n = 99; UPDATE content SET n = 99 WHERE n = 3; UPDATE content SET n = 3 "
         "WHERE "
         "n = 4; UPDATE content SET n = 4 WHERE n = 99",
         "entry 3: it was moved here from another place"},
        {"UPDATE content SET body = '{}' WHERE n = 3", content_changed},
        {"UPDATE content SET salt = zeroblob(16) WHERE n = 3", content_changed},
        {"UPDATE content SET from_ms = from_ms + 1 WHERE n = 3", content_changed},
        {"UPDATE content SET to_ms = to_ms + 1 WHERE n = 3", content_changed},
        {"UPDATE content SET offset_minutes = 0 WHERE n = 3", content_changed},
        {"UPDATE content SET session = 2 WHERE n = 3", content_changed},
        {"UPDATE content SET session = NULL WHERE n = 3", content_changed},
        {"UPDATE content SET person = recorder WHERE n = 3", content_changed},
        {"UPDATE content SET recorder = NULL WHERE n = 3", content_changed},
        {"UPDATE content SET corrects = 1 WHERE n = 3", content_changed},
        {"UPDATE person SET joined = 1",
         "the register: who is one person is not what was recorded "
         "(person 2)"},
        {"UPDATE code SET code = 'P-9' WHERE code = 'P-1'",
         "entry 1: a code is not what was recorded for this person (person 1)"},
        {"DELETE FROM code WHERE code = 'P-1'",
         "entry 1: a code is not what was recorded for this person (person 1)"},
        {"UPDATE setting SET value = 'UTC' WHERE key = 'time_zone'",
         "the register: its settings are not those that it was made with"},
        {"INSERT INTO setting VALUES ('retention_days', '1')",
         "the register: its settings are not those that it was made with"},
    };
    for (const Tampering& one : all) {
        CAPTURE(one.statements);
        const RegisterFolder folder;
        folder.record(6);
        tamper(folder.path(), one.statements);
        check_found(folder, one.words);
    }
}

TEST_CASE("what is not what was recorded is not told") {
    const Instant begin{a_monday_ms}, end{a_monday_ms + 600 * minute_ms};
    for (const std::string statements :
         {"UPDATE content SET body = '{}' WHERE n = 3",
          "UPDATE content SET to_ms = to_ms + 60000 WHERE n = 3",
          "UPDATE content SET corrects = 1 WHERE n = 4",
          "UPDATE entry SET commitment = zeroblob(32)", "DELETE FROM entry WHERE n = 3",
          "UPDATE code SET person = 99 WHERE code = 'P-1'; UPDATE code SET person = 1 WHERE code = "
          "'P-2'; UPDATE code SET person = 3 WHERE code = 'P-1'"}) {
        CAPTURE(statements);
        const RegisterFolder folder;
        folder.record(6);
        tamper(folder.path(), statements);
        const auto target = folder.open(Access::Read);
        check_refusal_says([&] { static_cast<void>(target.of_person("P-1", begin, end)); },
                           folder.path(), "the register is damaged: ");
    }
}

TEST_CASE("a cut tail and a chain written anew are found with a head, and only so") {
    const RegisterFolder folder;
    folder.record(6);
    const Head head = folder.open().head();
    const Head earlier = [&] {
        const RegisterFolder other;
        other.record(3);
        return other.open().head();
    }();
    tamper(folder.path(), "DELETE FROM content WHERE n > 4; DELETE FROM entry WHERE n > 4");
    CHECK(folder.open().verify().is_intact());
    check_found(folder, "entry 4: the entries after the last one are missing (2 more were there)",
                head);
    check_found(folder,
                "entry 3: it is not the one of the head that was given: what came until then was "
                "written anew",
                earlier);
}

TEST_CASE("a clock that was set back is told, and no damage") {
    const RegisterFolder folder;
    folder.record(3);
    // As if the second had been recorded later: the chain is made anew by the very rule.
    SQLite::Database database(folder.path(), SQLite::OPEN_READWRITE);
    sqlite3_db_config(database.getHandle(), SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
    std::string previous;
    for (int n = 1; n <= 3; ++n) {
        SQLite::Statement row(database,
                              fmt::format("SELECT recorded_ms, kind, commitment, previous "
                                          "FROM entry WHERE n = {}",
                                          n));
        REQUIRE(row.executeStep());
        const std::int64_t recorded = row.getColumn(0).getInt64() + (n == 2 ? 5'000 : 0);
        if (n == 1) previous = row.getColumn(3).getString();
        const std::string kind = row.getColumn(1).getString();
        const std::string commitment = row.getColumn(2).getString();
        const Sha256 hash = hash_of({n, recorded, kind, commitment, previous});
        SQLite::Statement change(
            database, "UPDATE entry SET recorded_ms = ?, previous = ?, hash = ? WHERE n = ?");
        change.bind(1, recorded);
        change.bind(2, previous.data(), 32);
        change.bind(3, hash.data(), 32);
        change.bind(4, n);
        change.exec();
        previous = bytes_of(hash);
    }
    const auto result = folder.open(Access::Read).verify();
    CHECK(result.is_intact());
    CHECK(result.clock_was_set_back == std::vector<std::int64_t>{3});
}

TEST_CASE("entries of another chain, right by themselves, do not follow") {
    const RegisterFolder folder, other;
    folder.record(6);
    other.record(6);
    tamper(folder.path(), "ATTACH '" + other.path() +
                              "' AS other; DELETE FROM entry WHERE n > 3; INSERT INTO entry SELECT "
                              "* FROM other.entry WHERE n > 3");
    check_found(folder, "entry 4: it is not what was recorded (it does not follow the one before)");
}

TEST_CASE("what was changed is named also where what keeps entries from that was removed") {
    const RegisterFolder folder;
    folder.record(6);
    tamper(folder.path(),
           "DROP TRIGGER content_stays; UPDATE content SET body = '{}' WHERE n = 3");
    CHECK(!refusal_of([&] { static_cast<void>(folder.open(Access::Read)); }).empty());
    const auto result = folder.open(Access::Verify).verify();
    REQUIRE(result.findings.size() == 2);
    CHECK(result.findings[0].what == Damage::Protection);
    CHECK(result.findings[1].text() == "entry 3: its content is not what was recorded");
    // A table more than ours is no register, whoever asks.
    tamper(folder.path(), "CREATE TABLE other(x)");
    CHECK(!refusal_of([&] { static_cast<void>(folder.open(Access::Verify)); }).empty());
}
