// What a register tells: each entry held against the chain before it is told.
#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "register/connection.hpp"
#include "register/schema.hpp"

namespace earbudget::registers {

namespace {

// A content with its entry, the codes and seals of its persons, and what stands in its place.
#define EARBUDGET_CONTENT_ROW                                                                     \
    "SELECT c.n, e.recorded_ms, e.kind, e.commitment, c.salt, p.seal, pk.code, r.seal, rk.code, " \
    "c.session, c.from_ms, c.to_ms, c.offset_minutes, c.corrects, c.body, c.person, c.recorder, " \
    "(SELECT x.n FROM content x WHERE x.corrects = c.n AND x.n > c.n) "                           \
    "FROM content c LEFT JOIN entry e ON e.n = c.n "                                              \
    "LEFT JOIN person p ON p.id = c.person LEFT JOIN code pk ON pk.person = c.person "            \
    "LEFT JOIN person r ON r.id = c.recorder LEFT JOIN code rk ON rk.person = c.recorder "

enum Column {
    Number,
    Recorded,
    Kind,
    Commitment,
    SaltBytes,
    PersonSeal,
    PersonCode,
    RecorderSeal,
    RecorderCode,
    Session,
    From,
    To,
    Offset,
    Corrects,
    Body,
    PersonNumber,
    RecorderNumber,
    CorrectedBy
};

std::optional<std::string> copied(const std::optional<std::string_view>& text) {
    return text ? std::optional<std::string>(*text) : std::nullopt;
}

[[noreturn]] void refuse_entry(std::int64_t n, const char* why) {
    throw Damaged{fmt::format("entry {}: {}", n, why)};
}

/// Throws where a content is not what its entry stands for.
void check_commitment(const Query& row) {
    const std::int64_t n = row.number(Number);
    const auto commitment = row.blob_or_none(Commitment);
    if (!commitment) refuse_entry(n, "there is content for it, and no such entry");
    const Content content{row.blob(SaltBytes),
                          row.blob_or_none(PersonSeal),
                          row.blob_or_none(RecorderSeal),
                          row.number_or_none(Session),
                          row.number(From),
                          row.number(To),
                          row.number(Offset),
                          row.number_or_none(Corrects),
                          row.text(Body)};
    const bool names_nobody = (row.number_or_none(PersonNumber) && !content.person_seal) ||
                              (row.number_or_none(RecorderNumber) && !content.recorder_seal);
    if (names_nobody || *commitment != bytes_of(commitment_of(content)))
        refuse_entry(n, "its content is not what was recorded");
}

/// What stands there by a correction: its kind as its body says it; false where nothing does.
bool stands_for(Entry& entry) {
    if (entry.kind != EntryKind::Correction) return true;
    const auto body = nlohmann::json::parse(entry.body, nullptr, false);
    const auto kind = body.is_object() ? body.find("kind") : body.end();
    if (kind == body.end() || !entry.corrects) refuse_entry(entry.n, "it is no correction");
    if (kind->is_null()) return false;
    const auto named =
        kind->is_string() ? entry_kinds.parse(kind->get_ref<const std::string&>()) : std::nullopt;
    if (!named) refuse_entry(entry.n, "it is a correction of no kind");
    entry.kind = *named;
    return true;
}

void require_true_correction(Connection& connection, std::int64_t corrected, std::int64_t by) {
    Query row(connection, content_by_number, by);
    if (!row.next()) refuse_entry(by, "its content is missing");
    const Entry correction = checked_entry(row);
    if (correction.kind != EntryKind::Correction || correction.corrects != corrected)
        refuse_entry(by, "it is no correction");
}

/// What a query gives, corrections in the place of what they correct.
std::vector<Entry> read_all(Connection& connection, Query& rows) {
    std::vector<Entry> entries;
    std::vector<std::pair<std::int64_t, std::int64_t>> corrected;
    while (rows.next()) {
        if (const auto by = rows.number_or_none(CorrectedBy)) {
            corrected.emplace_back(rows.number(Number), *by);
            continue;
        }
        Entry entry = checked_entry(rows);
        if (stands_for(entry)) entries.push_back(std::move(entry));
    }
    // Nothing is left out because of what nobody recorded.
    for (const auto& [n, by] : corrected)
        require_true_correction(connection, n, by);
    return entries;
}

/// Where to look for what lies in a time: its end is not long after it, as nothing lasts for long.
struct Window {
    std::int64_t from, to;
    [[nodiscard]] std::int64_t earliest_begin() const { return from - longest_entry_ms; }
    [[nodiscard]] std::int64_t latest_end() const { return to + longest_entry_ms; }
};

/// Sums with longest_entry_ms stay numbers.
Window window_of(Instant from, Instant to) {
    constexpr std::int64_t most = 1LL << 62;
    return {std::clamp(from.ms, -most, most), std::clamp(to.ms, -most, most)};
}

struct Key {
    std::int64_t group, from, n;
    auto operator<=>(const Key&) const = default;
};

std::vector<Key> keys_in(Connection& connection, const Window& window) {
    std::vector<Key> keys;
    Query rows(connection,
               "SELECT coalesce(p.joined, 0), c.from_ms, c.n FROM content c LEFT JOIN person p ON "
               "p.id = c.person WHERE c.from_ms >= ?1 AND c.from_ms < ?2 AND (c.to_ms > ?3 OR "
               "c.from_ms >= ?3)",
               window.earliest_begin(), window.to, window.from);
    while (rows.next())
        keys.push_back({rows.number(0), rows.number(1), rows.number(2)});
    std::ranges::sort(keys);
    return keys;
}

/// Reads of one moment; within what is done as one they are that anyway.
class OneMoment {
  public:
    explicit OneMoment(Connection& connection) : connection_(connection) {
        connection_.begin(false);
    }
    OneMoment(const OneMoment&) = delete;
    OneMoment& operator=(const OneMoment&) = delete;
    ~OneMoment() { connection_.end_reading(); }

  private:
    Connection& connection_;
};

}  // namespace

const char* const content_by_number = EARBUDGET_CONTENT_ROW "WHERE c.n = ?";

Entry checked_entry(const Query& row) {
    check_commitment(row);
    Entry entry;
    entry.n = row.number(Number);
    const auto kind = entry_kinds.parse(row.text(Kind));
    if (!kind) refuse_entry(entry.n, "it is of no known kind");
    entry.kind = *kind;
    entry.as = copied(row.text_or_none(PersonCode));
    entry.by = copied(row.text_or_none(RecorderCode));
    entry.session = row.number_or_none(Session);
    entry.from.ms = row.number(From);
    entry.to.ms = row.number(To);
    entry.offset_minutes = static_cast<int>(row.number(Offset));
    entry.corrects = row.number_or_none(Corrects);
    entry.body = row.text(Body);
    entry.recorded.ms = row.number(Recorded);
    return entry;
}

std::vector<Entry> Register::of_person(std::string_view code, Instant from, Instant to) const {
    return connection_->guarded([&] {
        const OneMoment moment(*connection_);
        const auto person = find_person(*connection_, code);
        if (!person) return std::vector<Entry>();
        const Window window = window_of(from, to);
        Query rows(*connection_,
                   EARBUDGET_CONTENT_ROW
                   "WHERE c.person IN (SELECT id FROM person WHERE joined = ?1) AND c.to_ms >= ?2 "
                   "AND c.to_ms < ?3 AND c.from_ms < ?4 AND (c.to_ms > ?2 OR c.from_ms = c.to_ms) "
                   "ORDER BY c.from_ms, c.n",
                   joined_of(*connection_, *person), window.from, window.latest_end(), window.to);
        return read_all(*connection_, rows);
    });
}

std::vector<Entry> Register::events_of(std::string_view code) const {
    return connection_->guarded([&] {
        const OneMoment moment(*connection_);
        const auto person = find_person(*connection_, code);
        std::vector<Entry> entries;
        if (!person) return entries;
        Query rows(*connection_,
                   EARBUDGET_CONTENT_ROW
                   "WHERE c.person IN (SELECT id FROM person WHERE joined = ?1) AND e.kind IN "
                   "('event', 'clearance', 'correction') ORDER BY c.from_ms, c.n",
                   joined_of(*connection_, *person));
        entries = read_all(*connection_, rows);
        std::erase_if(entries, [](const Entry& entry) {
            return entry.kind != EntryKind::Event && entry.kind != EntryKind::Clearance;
        });
        return entries;
    });
}

std::vector<std::int64_t> Register::perhaps_open_sessions() const {
    return connection_->guarded([&] {
        const OneMoment moment(*connection_);
        Query rows(*connection_,
                   "SELECT c.session FROM content c JOIN entry e ON e.n = c.n WHERE c.session > "
                   "(SELECT max(session) FROM content) - 100 GROUP BY c.session HAVING sum(e.kind "
                   "= 'session-start') > 0 AND (sum(e.kind = 'session-end') = 0 OR sum(e.kind = "
                   "'correction') > 0) ORDER BY c.session");
        std::vector<std::int64_t> sessions;
        while (rows.next())
            sessions.push_back(rows.number(0));
        return sessions;
    });
}

std::vector<Entry> Register::of_session(std::int64_t session) const {
    return connection_->guarded([&] {
        const OneMoment moment(*connection_);
        Query rows(*connection_,
                   EARBUDGET_CONTENT_ROW "WHERE c.session = ? ORDER BY c.from_ms, c.n", session);
        return read_all(*connection_, rows);
    });
}

void Register::each(Instant from, Instant to, const std::function<void(const Entry&)>& take) const {
    const auto one = [this](std::int64_t n) {
        Query row(*connection_, content_by_number, n);
        return read_all(*connection_, row);
    };
    const auto moment =
        connection_->guarded([this] { return std::make_unique<OneMoment>(*connection_); });
    const auto keys =
        connection_->guarded([&] { return keys_in(*connection_, window_of(from, to)); });
    for (const Key& key : keys) {
        const auto entries = connection_->guarded([&] { return one(key.n); });
        for (const Entry& entry : entries)
            take(entry);
    }
}

std::vector<Entry> Register::history(std::int64_t n) const {
    return connection_->guarded([&] {
        const OneMoment moment(*connection_);
        std::vector<Entry> entries;
        const auto add = [&](std::int64_t number) {
            Query row(*connection_, content_by_number, number);
            if (!row.next()) return std::optional<std::int64_t>();
            entries.push_back(checked_entry(row));
            return row.number_or_none(CorrectedBy);
        };
        auto later = add(n);
        // Numbers only grow by corrections, so that this ends.
        while (later)
            later = add(*later);
        while (!entries.empty() && entries.front().corrects &&
               *entries.front().corrects < entries.front().n) {
            Query row(*connection_, content_by_number, *entries.front().corrects);
            if (!row.next()) break;
            entries.insert(entries.begin(), checked_entry(row));
        }
        return entries;
    });
}

PersonCopy Register::copy_of(std::string_view code) const {
    return connection_->guarded([&] {
        const OneMoment moment(*connection_);
        const std::int64_t joined = joined_of(*connection_, require_person(*connection_, code));
        PersonCopy copy;
        copy.codes = codes_of_joined(*connection_, joined);
        copy.head = head_of(end_of_chain(*connection_));
        Query rows(*connection_,
                   EARBUDGET_CONTENT_ROW
                   "WHERE c.person IN (SELECT id FROM person WHERE joined = ?) ORDER BY c.n",
                   joined);
        while (rows.next())
            copy.entries.push_back(checked_entry(rows));
        return copy;
    });
}

std::vector<Due> Register::due(Instant at) const {
    if (!settings().retention_days) return {};
    constexpr std::int64_t day_ms = 24LL * 3600 * 1000;
    return connection_->guarded([&] {
        const OneMoment moment(*connection_);
        std::vector<std::pair<std::int64_t, Due>> found;
        {
            Query rows(*connection_,
                       "SELECT p.joined, max(c.to_ms), count(*) FROM content c JOIN person p ON "
                       "p.id = c.person GROUP BY p.joined HAVING max(c.to_ms) < ? ORDER BY 2, 1",
                       at.ms - *settings().retention_days * day_ms);
            while (rows.next())
                found.push_back({rows.number(0), {{}, {rows.number(1)}, rows.number(2)}});
        }
        std::vector<Due> due;
        for (auto& [joined, one] : found) {
            one.codes = codes_of_joined(*connection_, joined);
            due.push_back(std::move(one));
        }
        return due;
    });
}

}  // namespace earbudget::registers
