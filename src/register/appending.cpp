#include <stdexcept>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "earbudget/study/input_error.hpp"
#include "register/backup_body.hpp"
#include "register/connection.hpp"
#include "register/people.hpp"
#include "register/schema.hpp"

namespace earbudget::registers {

namespace {

/// What an entry that is corrected leaves to the correction.
struct Corrected {
    std::optional<std::int64_t> person, session;
    EntryKind kind = EntryKind::Run;
};

[[noreturn]] void refuse_correction(Connection& connection, std::int64_t n,
                                    const std::string& why) {
    throw InputError({connection.path()}, fmt::format("entry {} cannot be corrected: {}", n, why));
}

Corrected corrected_by(Connection& connection, const NewEntry& entry) {
    const std::int64_t n = *entry.corrects;
    Corrected corrected;
    {
        Query found(
            connection,
            "SELECT e.kind, c.person, c.session, (SELECT x.n FROM content x WHERE x.corrects "
            "= c.n) FROM content c JOIN entry e ON e.n = c.n WHERE c.n = ?",
            n);
        if (!found.next())
            refuse_correction(connection, n,
                              "there is none, or it was erased; accepted: the number of an entry");
        if (const auto by = found.number_or_none(3))
            refuse_correction(connection, n,
                              fmt::format("entry {} stands in its place; accepted: that one", *by));
        const auto kind = entry_kinds.parse(found.text(0));
        if (!kind || *kind == EntryKind::Erase || *kind == EntryKind::Backup)
            refuse_correction(connection, n,
                              "it tells what the register did; accepted: the number of an entry "
                              "that somebody recorded");
        corrected = {found.number_or_none(1), found.number_or_none(2), *kind};
    }
    const auto person = entry.as ? find_person(connection, *entry.as) : std::nullopt;
    const bool is_another =
        entry.as && (!person || !corrected.person ||
                     joined_of(connection, *person) != joined_of(connection, *corrected.person));
    if (is_another) {
        refuse_correction(connection, n,
                          fmt::format("it is not about \"{}\"; accepted: a correction of kind null "
                                      "for who it is about, and a new entry for who it should have "
                                      "been about",
                                      *entry.as));
    }
    return corrected;
}

/// The kind of what stands in the place of what is corrected; none where nothing does.
std::optional<EntryKind> kind_of_correction(const nlohmann::json& body) {
    const auto kind = body.find("kind");
    const auto why = body.find("why");
    if (why == body.end() || !why->is_string() || why->get_ref<const std::string&>().empty())
        throw std::invalid_argument("a correction without its reason");
    if (kind == body.end()) throw std::invalid_argument("a correction without a kind");
    if (kind->is_null()) return std::nullopt;
    const auto named =
        kind->is_string() ? entry_kinds.parse(kind->get_ref<const std::string&>()) : std::nullopt;
    if (!named || *named >= EntryKind::Link || *named == EntryKind::Correction)
        throw std::invalid_argument("a correction of no kind");
    return named;
}

void check_new(const Connection& connection, const NewEntry& entry) {
    if (entry.kind >= EntryKind::Link) return;  // what the register itself says
    if (entry.body.size() > static_cast<std::size_t>(longest_body))
        throw InputError({connection.path()},
                         fmt::format("an entry of {} bytes is too long; accepted: at most {}",
                                     entry.body.size(), longest_body));
    const auto body = nlohmann::json::parse(entry.body, nullptr, false);
    if (!body.is_object()) throw std::invalid_argument("the body of an entry is no JSON object");
    if (entry.body.find(backup_body_begin) != std::string::npos)
        throw std::invalid_argument("a body that would be taken for that of a backup");
    if (entry.to < entry.from || entry.to.ms - entry.from.ms > longest_entry_ms) {
        throw InputError({connection.path()},
                         "an entry ends before it begins, or lasts longer than 31 days; accepted: "
                         "times in order, at most 31 days apart");
    }
    if (entry.corrects.has_value() != (entry.kind == EntryKind::Correction))
        throw std::invalid_argument("a correction that corrects nothing, or no correction");
    if (entry.kind == EntryKind::Correction) static_cast<void>(kind_of_correction(body));
}

struct Seals {
    std::optional<std::string> person, recorder;
};

std::optional<std::string> seal_of_person(Connection& connection,
                                          const std::optional<std::int64_t>& person) {
    if (!person) return std::nullopt;
    Query seal(connection, "SELECT seal FROM person WHERE id = ?", *person);
    if (!seal.next()) throw Damaged{"a person is missing"};
    return std::string(seal.blob(0));
}

/// Adds the two rows of an entry at the end of the chain.
std::int64_t add_rows(Connection& connection, const NewEntry& entry, const Content& content,
                      const Salt& salt, const std::optional<std::int64_t>& person,
                      const std::optional<std::int64_t>& recorder) {
    const ChainEnd end = end_of_chain(connection);
    const std::int64_t n = end.n + 1;
    const std::int64_t recorded = now().ms;
    const std::string_view kind = entry_kinds[entry.kind].name;
    const Sha256 commitment = commitment_of(content);
    const Sha256 hash = hash_of({n, recorded, kind, bytes_of(commitment), bytes_of(end.hash)});
    Query(connection, "INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?)", n, recorded, kind, commitment,
          end.hash, hash)
        .run();
    const std::int64_t offset = entry.offset_minutes;
    Query(connection, "INSERT INTO content VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", n, salt, person,
          recorder, content.session, content.from_ms, content.to_ms, offset, content.corrects,
          content.body)
        .run();
    return n;
}

}  // namespace

ChainEnd end_of_chain(Connection& connection) {
    Query last(connection, "SELECT n, hash FROM entry ORDER BY n DESC LIMIT 1");
    if (!last.next()) return {0, connection.beginning()};
    ChainEnd end{last.number(0), {}};
    const std::string_view hash = last.blob(1);
    if (hash.size() != end.hash.size()) throw Damaged{"a hash is none"};
    std::copy(hash.begin(), hash.end(), end.hash.begin());
    return end;
}

Head head_of(const ChainEnd& end) { return {end.n, hexadecimal(bytes_of(end.hash))}; }

std::int64_t append_any(Connection& connection, const NewEntry& entry) {
    if (!connection.may_write()) throw std::logic_error("a register that is open for reading");
    check_new(connection, entry);
    std::optional<std::int64_t> person;
    auto session = entry.session;
    std::optional<std::int64_t> parted;
    if (entry.corrects) {
        const Corrected corrected = corrected_by(connection, entry);
        person = corrected.person;
        if (!session) session = corrected.session;
        if (corrected.kind == EntryKind::Link && person) parted = joined_of(connection, *person);
    } else if (entry.as) {
        person = person_for(connection, *entry.as);
    }
    std::optional<std::int64_t> recorder;
    if (entry.by) recorder = person_for(connection, *entry.by);
    const Salt salt = random_salt();
    const auto person_seal = seal_of_person(connection, person);
    const auto recorder_seal = seal_of_person(connection, recorder);
    const std::int64_t n =
        add_rows(connection, entry,
                 {bytes_of(salt), person_seal, recorder_seal, session, entry.from.ms, entry.to.ms,
                  entry.offset_minutes, entry.corrects, entry.body},
                 salt, person, recorder);
    if (parted) regroup(connection, *parted);
    return n;
}

}  // namespace earbudget::registers
