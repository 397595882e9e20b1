#include <filesystem>
#include <utility>

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <sqlite3.h>

#include "register/connection.hpp"
#include "register/erased_body.hpp"

namespace earbudget::registers {

namespace {

#define EARBUDGET_PERSONS "(SELECT id FROM person WHERE joined = ?1)"
// What is about nobody, in sessions of the person, may tell of them.
#define EARBUDGET_OF_PERSON                                                                    \
    "content WHERE person IN " EARBUDGET_PERSONS                                               \
    " OR (person IS NULL AND session IN (SELECT c.session FROM content c JOIN entry e ON e.n " \
    "= c.n WHERE e.kind = 'session-start' AND c.person IN " EARBUDGET_PERSONS "))"

std::vector<std::int64_t> numbers_of(Connection& connection, std::int64_t joined) {
    std::vector<std::int64_t> numbers;
    Query all(connection, "SELECT n FROM " EARBUDGET_OF_PERSON " ORDER BY n", joined);
    while (all.next())
        numbers.push_back(all.number(0));
    return numbers;
}

void set_state(Connection& connection, std::string_view key, std::int64_t value) {
    Query(connection, "UPDATE state SET value = ? WHERE key = ?", value, key).run();
}

void delete_all(Connection& connection, std::int64_t joined) {
    set_state(connection, "erasing", 1);
    Query(connection, "DELETE FROM " EARBUDGET_OF_PERSON, joined).run();
    Query(connection, "DELETE FROM code WHERE person IN " EARBUDGET_PERSONS, joined).run();
    Query(connection, "UPDATE person SET joined = id WHERE joined = ?", joined).run();
    set_state(connection, "erasing", 0);
    set_state(connection, "wipe", 1);
}

/// Brings the log into the file and empties it; false where others read meanwhile.
bool empty_log(Connection& connection) {
    int in_log = 0;
    int brought_in = 0;
    return sqlite3_wal_checkpoint_v2(connection.database().getHandle(), "main",
                                     SQLITE_CHECKPOINT_TRUNCATE, &in_log, &brought_in) == SQLITE_OK;
}

}  // namespace

std::string erased_body(const std::vector<std::int64_t>& numbers) {
    auto ranges = nlohmann::json::array();
    for (const std::int64_t n : numbers) {
        if (!ranges.empty() && ranges.back().at(1).get<std::int64_t>() == n - 1) {
            ranges.back().at(1) = n;
        } else {
            ranges.push_back({n, n});
        }
    }
    return nlohmann::json{{"erased", ranges}}.dump();
}

std::optional<std::vector<ErasedRange>> read_erased_body(std::string_view body) {
    const auto read = nlohmann::json::parse(body, nullptr, false);
    const auto ranges = read.is_object() ? read.find("erased") : read.end();
    if (ranges == read.end() || !ranges->is_array()) return std::nullopt;
    std::vector<ErasedRange> erased;
    for (const auto& range : *ranges) {
        const bool is_range = range.is_array() && range.size() == 2 &&
                              range.at(0).is_number_integer() && range.at(1).is_number_integer();
        if (!is_range) return std::nullopt;
        erased.push_back({range.at(0).get<std::int64_t>(), range.at(1).get<std::int64_t>()});
    }
    return erased;
}

Erased Register::erase(const std::string& code, const std::optional<std::string>& by) {
    Erased erased;
    in_one([&] {
        connection_->guarded([&] {
            const std::int64_t joined = joined_of(*connection_, require_person(*connection_, code));
            erased.codes = codes_of_joined(*connection_, joined);
            const auto numbers = numbers_of(*connection_, joined);
            for (BackupRecord& backup : backups_of(*connection_)) {
                const bool holds = !numbers.empty() && backup.head.n >= numbers.front();
                if (holds) erased.backups.push_back(std::move(backup));
            }
            erased.entries = static_cast<std::int64_t>(numbers.size());
            delete_all(*connection_, joined);
            const Instant at = now();
            erased.n = append_any(*connection_, {.kind = EntryKind::Erase,
                                                 .by = by,
                                                 .from = at,
                                                 .to = at,
                                                 .body = erased_body(numbers)});
        });
    });
    erased.traces_left = !finish_erasing();
    return erased;
}

bool wipe_free_places(Connection& connection, std::chrono::milliseconds longest) {
    connection.forget_statements();
    connection.waiting().longest = longest;
    // The log first, so that it need not grow by all pages while it holds what is erased.
    const bool is_wiped = empty_log(connection) &&
                          connection.database().tryExec("VACUUM") == SQLITE_OK &&
                          empty_log(connection);
    connection.waiting().longest = Waiting::usual;
    if (is_wiped) set_state(connection, "wipe", 0);
    return is_wiped;
}

bool Register::finish_erasing() {
    constexpr std::chrono::seconds a_while(2);
    return connection_->guarded([&] { return wipe_free_places(*connection_, a_while); });
}

}  // namespace earbudget::registers
