// Walks the chain once and holds everything against it.
#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "register/connection.hpp"
#include "register/erased_body.hpp"
#include "register/people.hpp"

namespace earbudget::registers {

namespace {

constexpr std::size_t most_findings = 100;

class Verifier {
  public:
    Verifier(Connection& connection, const std::optional<Head>& head)
        : connection_(connection), head_(head) {
        result_.held_against = head;
    }

    Verification all() {
        try {
            check_file();
            if (connection_.lacks_protection()) add(Damage::Protection, {});
            read_erased();
            walk();
            check_alone();
            check_codes();
            check_links();
            check_head();
        } catch (const Damaged& damaged) {
            add(Damage::File, {}, damaged.what);
        } catch (const SQLite::Exception& error) {
            add(Damage::File, {}, error.what());
        }
        std::ranges::stable_sort(result_.findings, {},
                                 [](const Finding& finding) { return finding.n.value_or(0); });
        return std::move(result_);
    }

  private:
    struct Link {
        std::int64_t n = 0;
        Sha256 hash{};
        std::int64_t recorded = 0;
    };

    void add(Damage what, std::optional<std::int64_t> n, std::string detail = "") {
        if (result_.findings.size() < most_findings)
            result_.findings.push_back({what, n, std::move(detail)});
    }

    /// SQLite's own checks of pages, indices, types and conditions.
    void check_file() {
        Query check(connection_, "PRAGMA integrity_check(20)");
        while (check.next())
            if (check.text(0) != "ok") add(Damage::File, {}, std::string(check.text(0)));
        Query keys(connection_, "PRAGMA foreign_key_check");
        if (keys.next())
            add(Damage::File, {}, fmt::format("a row of {} leads nowhere", keys.text(0)));
    }

    void read_erased() {
        Query rows(connection_,
                   "SELECT e.n, c.body FROM entry e JOIN content c ON c.n = e.n WHERE e.kind = "
                   "'erase'");
        while (rows.next()) {
            const auto ranges = read_erased_body(rows.text(1));
            if (!ranges) add(Damage::ContentChanged, rows.number(0));
            if (ranges) erased_.insert(erased_.end(), ranges->begin(), ranges->end());
        }
        std::ranges::sort(erased_, {}, &ErasedRange::first);
    }

    [[nodiscard]] bool was_erased(std::int64_t n) const {
        const auto after = std::ranges::upper_bound(erased_, n, {}, &ErasedRange::first);
        return after != erased_.begin() && std::prev(after)->last >= n;
    }

    void walk() {
        last_.hash = connection_.beginning();
        Query rows(connection_,
                   "SELECT n, recorded_ms, kind, commitment, previous, hash FROM entry ORDER BY n");
        while (rows.next()) {
            check_place(rows);
            check_content(rows.number(0));
            if (head_ && head_->n == rows.number(0)) hash_at_head_ = hexadecimal(rows.blob(5));
            ++result_.entries;
        }
        result_.head = {last_.n, hexadecimal(bytes_of(last_.hash))};
    }

    void check_place(const Query& row) {
        const std::int64_t n = row.number(0);
        for (std::int64_t missing = last_.n + 1;
             missing < n && result_.findings.size() < most_findings; ++missing)
            add(Damage::EntryMissing, missing);
        const std::string_view hash = row.blob(5);
        const Header header{n, row.number(1), row.text(2), row.blob(3), row.blob(4)};
        if (hash != bytes_of(hash_of(header))) {
            add(is_of_another_place(header, hash) ? Damage::EntryMoved : Damage::EntryChanged, n);
        } else if (n == 1 && header.previous != bytes_of(connection_.beginning())) {
            add(Damage::Settings, {});
        } else if (n > 1 && n == last_.n + 1 && header.previous != bytes_of(last_.hash)) {
            add(Damage::EntryChanged, n, "it does not follow the one before");
        }
        if (last_.n > 0 && header.recorded_ms < last_.recorded)
            result_.clock_was_set_back.push_back(n);
        last_ = {n, {}, header.recorded_ms};
        if (hash.size() == last_.hash.size()) std::ranges::copy(hash, last_.hash.begin());
    }

    /// Whether an entry was recorded under another number: its hash is right with that, which the
    /// one that it came before tells.
    [[nodiscard]] bool is_of_another_place(Header header, std::string_view hash) {
        // Each looks through all: the first few tell what happened.
        constexpr std::size_t few = 10;
        if (result_.findings.size() >= few) return false;
        Query next(connection_, "SELECT n - 1 FROM entry WHERE previous = CAST(? AS BLOB)", hash);
        while (next.next()) {
            header.n = next.number(0);
            if (hash == bytes_of(hash_of(header))) return true;
        }
        return false;
    }

    void check_content(std::int64_t n) {
        Query row(connection_, content_by_number, n);
        const bool is_there = row.next();
        const bool erased = was_erased(n);
        if (is_there && erased) add(Damage::ContentLeft, n);
        if (!is_there && !erased) add(Damage::ContentMissing, n);
        if (!is_there && erased) ++result_.erased;
        if (!is_there) return;
        try {
            const Entry entry = checked_entry(row);
            const bool corrects_rightly =
                entry.corrects.has_value() == (entry.kind == EntryKind::Correction) &&
                entry.corrects.value_or(0) < n;
            if (!corrects_rightly) add(Damage::Correction, n);
        } catch (const Damaged&) {
            add(Damage::ContentChanged, n);
        }
    }

    void check_alone() {
        Query rows(connection_,
                   "SELECT n FROM content WHERE n NOT IN (SELECT n FROM entry) ORDER BY n LIMIT "
                   "100");
        while (rows.next())
            add(Damage::ContentAlone, rows.number(0));
    }

    /// A person without a code was erased, and then has no content.
    void check_codes() {
        Query rows(connection_,
                   "SELECT p.id, p.seal, k.code, k.salt, (SELECT min(c.n) FROM content c WHERE "
                   "c.person = p.id) FROM person p LEFT JOIN code k ON k.person = p.id");
        while (rows.next()) {
            const auto code = rows.text_or_none(2);
            const auto first = rows.number_or_none(4);
            const bool is_right =
                code ? rows.blob(1) == bytes_of(seal_of(rows.blob(3), *code, rows.number(0)))
                     : !first;
            if (!is_right) add(Damage::Code, first, fmt::format("person {}", rows.number(0)));
        }
    }

    void check_links() {
        const auto groups = groups_by_links(connection_);
        Query rows(connection_, "SELECT id, joined FROM person");
        while (rows.next()) {
            const std::int64_t person = rows.number(0);
            const auto group = groups.find(person);
            if (rows.number(1) != (group == groups.end() ? person : group->second))
                add(Damage::Links, {}, fmt::format("person {}", person));
        }
    }

    void check_head() {
        if (!head_) return;
        if (head_->n > last_.n) {
            add(Damage::TailCut, last_.n, fmt::format("{} more were there", head_->n - last_.n));
        } else if (head_->n == 0) {
            if (head_->hash != hexadecimal(bytes_of(connection_.beginning())))
                add(Damage::OtherChain, {});
        } else if (head_->n < 0 || hash_at_head_ != head_->hash) {
            add(Damage::OtherChain, head_->n);
        }
    }

    Connection& connection_;
    std::optional<Head> head_;
    std::string hash_at_head_;
    std::vector<ErasedRange> erased_;
    Link last_;
    Verification result_;
};

}  // namespace

std::string Finding::text() const {
    std::string text = n ? fmt::format("entry {}: ", *n) : std::string("the register: ");
    text += damages[what].words;
    if (!detail.empty()) text += fmt::format(" ({})", detail);
    return text;
}

Verification Register::verify(const std::optional<Head>& head) const {
    return connection_->guarded([&] {
        connection_->begin(false);
        try {
            Verification result = Verifier(*connection_, head).all();
            connection_->end_reading();
            return result;
        } catch (...) {
            connection_->end_reading();
            throw;
        }
    });
}

}  // namespace earbudget::registers
