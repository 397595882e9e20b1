#include "register/register.hpp"

#include <stdexcept>

#include "register/connection.hpp"

namespace earbudget::registers {

Register::Register(std::unique_ptr<Connection> connection) : connection_(std::move(connection)) {}
Register::Register(Register&&) noexcept = default;
Register& Register::operator=(Register&&) noexcept = default;
Register::~Register() = default;

Register Register::open(const std::string& path, Access access) {
    Register opened(std::make_unique<Connection>(path, access));
    Connection& connection = *opened.connection_;
    // A program that was killed while it erased left this to the next.
    connection.guarded([&connection, access] {
        if (access != Access::Write) return;
        const bool must_wipe = [&connection] {
            Query wipe(connection, "SELECT value FROM state WHERE key = 'wipe'");
            return wipe.next() && wipe.number(0) != 0;
        }();
        if (must_wipe) static_cast<void>(wipe_free_places(connection, {}));
    });
    return opened;
}

const std::string& Register::path() const { return connection_->path(); }
const RegisterSettings& Register::settings() const { return connection_->settings(); }

Register::Transaction::Transaction(Register& target) : connection_(*target.connection_) {
    connection_.guarded([this] { connection_.begin(connection_.may_write()); });
}

Register::Transaction::~Transaction() {
    if (!is_done_) connection_.roll_back();
}

void Register::Transaction::commit() {
    connection_.guarded([this] { connection_.commit(); });
    is_done_ = true;
}

std::int64_t Register::append(const NewEntry& entry) {
    const bool is_own = entry.kind == EntryKind::Link || entry.kind == EntryKind::Erase ||
                        entry.kind == EntryKind::Backup;
    if (is_own) throw std::invalid_argument("an entry that only the register makes");
    return in_one([this, &entry] {
        return connection_->guarded([this, &entry] { return append_any(*connection_, entry); });
    });
}

std::int64_t Register::next_session() {
    return in_one([this] {
        return connection_->guarded([this] {
            Query next(*connection_,
                       "SELECT max(value, (SELECT coalesce(max(session), 0) FROM content)) + 1 "
                       "FROM state WHERE key = 'last_session'");
            if (!next.next()) throw Damaged{"the number of the last session is missing"};
            const std::int64_t number = next.number(0);
            Query(*connection_, "UPDATE state SET value = ? WHERE key = 'last_session'", number)
                .run();
            return number;
        });
    });
}

std::optional<std::int64_t> Register::newest_session() const {
    return connection_->guarded([this] {
        Query newest(*connection_, "SELECT max(session) FROM content");
        return newest.next() ? newest.number_or_none(0) : std::nullopt;
    });
}

Head Register::head() const {
    return connection_->guarded([this] { return head_of(end_of_chain(*connection_)); });
}

}  // namespace earbudget::registers
