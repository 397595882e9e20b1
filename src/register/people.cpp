#include "register/people.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "earbudget/study/input_error.hpp"
#include "files/ids.hpp"

namespace earbudget::registers {

namespace {

struct Found {
    std::int64_t person;
    std::string code;  // as it is written
};

/// A code as it is known, however its capital letters are; held against the person's seal.
std::optional<Found> find_code(Connection& connection, std::string_view code) {
    Query found(connection,
                "SELECT k.person, k.code, k.salt, p.seal FROM code k LEFT JOIN person p ON p.id = "
                "k.person WHERE k.code = ?",
                code);
    if (!found.next()) return std::nullopt;
    const Found result{found.number(0), std::string(found.text(1))};
    const auto seal = found.blob_or_none(3);
    if (!seal || *seal != bytes_of(seal_of(found.blob(2), result.code, result.person)))
        throw Damaged{fmt::format("code \"{}\" is not that of whom it was recorded for", code)};
    return result;
}

/// A blank is what names have and codes need not. Codes of before stay as they are.
bool looks_like_a_name(std::string_view code) {
    return code.find(' ') != code.npos || code.find("\u00a0") != code.npos;
}

std::int64_t new_person(Connection& connection, const std::string& code) {
    if (const auto why = files::why_no_id(code)) {
        throw InputError({connection.path()}, fmt::format("code \"{}\"{}; accepted: {}", code, *why,
                                                          files::accepted_ids));
    }
    if (looks_like_a_name(code)) {
        throw InputError({connection.path()},
                         fmt::format("code \"{}\" holds a blank, as names do, and a register knows "
                                     "no names; accepted: a code without one, such as P-0417",
                                     code));
    }
    std::int64_t person = 1;
    {
        Query last(connection, "SELECT coalesce(max(id), 0) + 1 FROM person");
        if (last.next()) person = last.number(0);
    }
    const Salt salt = random_salt();
    Query(connection, "INSERT INTO person VALUES (?, ?, ?)", person, person,
          seal_of(bytes_of(salt), code, person))
        .run();
    Query(connection, "INSERT INTO code VALUES (?, ?, ?)", std::string_view(code), person, salt)
        .run();
    return person;
}

}  // namespace

std::optional<std::int64_t> find_person(Connection& connection, std::string_view code) {
    const auto found = find_code(connection, code);
    return found && found->code == code ? std::optional(found->person) : std::nullopt;
}

std::int64_t require_person(Connection& connection, std::string_view code) {
    if (const auto person = find_person(connection, code)) return *person;
    const auto near = find_code(connection, code);
    throw InputError({connection.path()},
                     fmt::format("code \"{}\" is not known; accepted: {}", code,
                                 near ? fmt::format("\"{}\"", near->code)
                                      : "a code that something is recorded for"));
}

std::int64_t person_for(Connection& connection, const std::string& code) {
    const auto found = find_code(connection, code);
    if (!found) return new_person(connection, code);
    if (found->code == code) return found->person;
    throw InputError({connection.path()},
                     fmt::format("code \"{}\" is not known, and \"{}\" is; accepted: \"{}\", or a "
                                 "code that differs in more than capital letters",
                                 code, found->code, found->code));
}

std::int64_t joined_of(Connection& connection, std::int64_t person) {
    Query joined(connection, "SELECT joined FROM person WHERE id = ?", person);
    if (!joined.next()) throw Damaged{"a person is missing"};
    return joined.number(0);
}

std::vector<std::string> codes_of_joined(Connection& connection, std::int64_t joined) {
    std::vector<std::string> codes;
    Query all(connection,
              "SELECT k.code FROM person p JOIN code k ON k.person = p.id WHERE p.joined = ? ORDER "
              "BY k.code",
              joined);
    while (all.next())
        codes.emplace_back(all.text(0));
    return codes;
}

std::map<std::int64_t, std::int64_t> groups_by_links(Connection& connection) {
    std::map<std::int64_t, std::int64_t> groups;
    const auto join = [&groups](std::int64_t one, std::int64_t other) {
        const std::int64_t first = groups.emplace(one, one).first->second;
        const std::int64_t second = groups.emplace(other, other).first->second;
        const auto [least, most] = std::minmax({first, second});
        for (auto& [person, group] : groups)
            if (group == most) group = least;
    };
    Query links(connection,
                "SELECT c.body FROM entry e JOIN content c ON c.n = e.n WHERE e.kind = 'link' AND "
                "NOT EXISTS (SELECT 1 FROM content x WHERE x.corrects = c.n AND x.n > c.n)");
    while (links.next()) {
        const auto body = nlohmann::json::parse(links.text(0), nullptr, false);
        const auto same = body.is_object() ? body.find("same") : body.end();
        const bool is_pair = same != body.end() && same->is_array() && same->size() == 2 &&
                             same->at(0).is_number_integer() && same->at(1).is_number_integer();
        if (!is_pair) throw Damaged{"a link joins nobody"};
        join(same->at(0).get<std::int64_t>(), same->at(1).get<std::int64_t>());
    }
    return groups;
}

void regroup(Connection& connection, std::int64_t joined) {
    const auto groups = groups_by_links(connection);
    std::vector<std::int64_t> persons;
    {
        Query all(connection, "SELECT id FROM person WHERE joined = ?", joined);
        while (all.next())
            persons.push_back(all.number(0));
    }
    for (const std::int64_t person : persons) {
        const auto group = groups.find(person);
        Query(connection, "UPDATE person SET joined = ? WHERE id = ?",
              group == groups.end() ? person : group->second, person)
            .run();
    }
}

bool Register::knows(std::string_view code) const {
    return connection_->guarded([&] { return find_person(*connection_, code).has_value(); });
}

std::vector<std::string> Register::codes() const {
    return connection_->guarded([this] {
        std::vector<std::string> codes;
        Query all(*connection_, "SELECT code FROM code ORDER BY code");
        while (all.next())
            codes.emplace_back(all.text(0));
        return codes;
    });
}

std::vector<std::string> Register::codes_of(std::string_view code) const {
    return connection_->guarded([&] {
        const auto person = find_person(*connection_, code);
        return person ? codes_of_joined(*connection_, joined_of(*connection_, *person))
                      : std::vector<std::string>();
    });
}

std::int64_t Register::link(const std::string& one, const std::string& other,
                            const std::optional<std::string>& by) {
    return in_one([&] {
        return connection_->guarded([&] {
            const std::int64_t first = require_person(*connection_, one);
            const std::int64_t second = require_person(*connection_, other);
            const std::int64_t joined = joined_of(*connection_, first);
            if (joined == joined_of(*connection_, second)) {
                throw InputError({path()}, fmt::format("\"{}\" and \"{}\" are one person already; "
                                                       "accepted: codes of two",
                                                       one, other));
            }
            const Instant at = now();
            const std::int64_t n = append_any(
                *connection_, {.kind = EntryKind::Link,
                               .as = one,
                               .by = by,
                               .from = at,
                               .to = at,
                               .body = nlohmann::json{{"same", {first, second}}}.dump()});
            const auto [least, most] = std::minmax({joined, joined_of(*connection_, second)});
            Query(*connection_, "UPDATE person SET joined = ? WHERE joined = ?", least, most).run();
            return n;
        });
    });
}

}  // namespace earbudget::registers
