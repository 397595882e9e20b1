#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <SQLiteCpp/SQLiteCpp.h>

#include "register/chain.hpp"
#include "register/entry.hpp"
#include "register/register.hpp"

namespace earbudget::registers {

/// Thrown inside the room where the database is not what was recorded: what is wrong with it.
struct Damaged {
    std::string what;
};

/// How long to wait for others, and since when this has been waited.
struct Waiting {
    using Clock = std::chrono::steady_clock;
    static constexpr std::chrono::milliseconds usual{10'000};

    std::chrono::milliseconds longest = usual;
    Clock::time_point since = {};
};

/// An open register: the database behind a path, its statements, and what its errors mean.
class Connection {
  public:
    Connection(const std::string& path, Access access);
    Connection(const Connection&) = delete;
    Connection& operator=(const Connection&) = delete;
    ~Connection();

    [[nodiscard]] const std::string& path() const { return path_; }
    [[nodiscard]] const RegisterSettings& settings() const { return settings_; }
    /// What the first entry has for the hash of the one before.
    [[nodiscard]] const Sha256& beginning() const { return beginning_; }
    [[nodiscard]] bool may_write() const { return access_ == Access::Write; }
    /// Whether what keeps entries from being changed was removed; only where it is to be verified.
    [[nodiscard]] bool lacks_protection() const { return lacks_protection_; }
    [[nodiscard]] SQLite::Database& database() { return *database_; }

    /// Statements by their texts, which are literals. Those in use are taken out, each in its node,
    /// so that giving it back needs no memory.
    using Statements = std::multimap<const char*, SQLite::Statement>;
    [[nodiscard]] Statements::node_type take_statement(const char* text);
    void give_back(Statements::node_type&& statement) noexcept;
    void forget_statements() { statements_.clear(); }

    /// Runs work and has what SQLite and damage say thrown as the user's errors.
    template <class Work>
    auto guarded(Work&& work) {
        try {
            return work();
        } catch (const SQLite::Exception& error) {
            fail(error);
        } catch (const Damaged& damaged) {
            refuse_damaged(damaged.what);
        }
    }
    [[noreturn]] void fail(const SQLite::Exception& error);
    [[noreturn]] void refuse_damaged(const std::string& what);

    /// Transactions within others are part of them; one that failed lets the outermost fail.
    void begin(bool to_write);
    void commit();
    void roll_back() noexcept;
    /// Ends what was begun for reading alone; what is around it goes on.
    void end_reading() noexcept;
    [[nodiscard]] bool is_in_transaction() const { return depth_ > 0; }

    [[nodiscard]] Waiting& waiting() { return waiting_; }

    /// Bytes of the file as they are, read through SQLite, whose locks stay so.
    [[nodiscard]] std::string raw_bytes(std::int64_t from, int size);
    [[nodiscard]] std::int64_t raw_size();

  private:
    void check_folder() const;
    void open_database();
    void check_identity();
    void leave_transaction() noexcept;
    void check_log();
    void check_length();
    void check_is_in_its_place();
    void make_present();
    void load_settings();
    [[nodiscard]] std::string restore_to_make();

    std::string path_;
    Access access_;
    bool lacks_protection_ = false;
    Waiting waiting_;
    std::optional<SQLite::Database> database_;
    Statements statements_;
    RegisterSettings settings_;
    Sha256 beginning_{};
    unsigned depth_ = 0;
    bool is_doomed_ = false;
    bool is_writing_ = false;
};

/// One run of a statement: values bound in order, rows read by type. A column of another type than
/// its table says is damage.
class Query {
  public:
    template <class... Values>
    Query(Connection& connection, const char* text, const Values&... values)
        : connection_(connection),
          node_(connection.take_statement(text)),
          statement_(node_.mapped()) {
        try {
            int at = 0;
            (bind(++at, values), ...);
        } catch (...) {
            connection_.give_back(std::move(node_));
            throw;
        }
    }
    Query(const Query&) = delete;
    Query& operator=(const Query&) = delete;
    ~Query() { connection_.give_back(std::move(node_)); }

    [[nodiscard]] bool next() { return statement_.executeStep(); }
    void run() {
        while (statement_.executeStep()) {
        }
    }

    [[nodiscard]] std::int64_t number(int column) const;
    [[nodiscard]] std::optional<std::int64_t> number_or_none(int column) const;
    [[nodiscard]] std::string_view text(int column) const;
    [[nodiscard]] std::optional<std::string_view> text_or_none(int column) const;
    [[nodiscard]] std::string_view blob(int column) const;
    [[nodiscard]] std::optional<std::string_view> blob_or_none(int column) const;

  private:
    void bind(int at, std::int64_t value) { statement_.bind(at, value); }
    void bind(int at, const std::optional<std::int64_t>& value) {
        if (value) {
            statement_.bind(at, *value);
        } else {
            statement_.bind(at);
        }
    }
    void bind(int at, std::string_view value) { statement_.bind(at, std::string(value)); }
    template <std::size_t N>
    void bind(int at, const std::array<unsigned char, N>& value) {
        statement_.bind(at, static_cast<const void*>(value.data()), static_cast<int>(N));
    }

    Connection& connection_;
    Connection::Statements::node_type node_;
    SQLite::Statement& statement_;
};

/// The end of the chain: number and hash of the last entry, 0 and the beginning where there is
/// none.
struct ChainEnd {
    std::int64_t n;
    Sha256 hash;
};
[[nodiscard]] ChainEnd end_of_chain(Connection& connection);
[[nodiscard]] Head head_of(const ChainEnd& end);

/// Wipes what may be left of whom was erased, waiting for those who read; false where they go on.
[[nodiscard]] bool wipe_free_places(Connection& connection, std::chrono::milliseconds longest);

/// Refuses a place that cannot hold a register: where `path`, its file or folder, is on a network
/// file system, whose locks are none.
void refuse_network(const std::string& place, const std::string& path);
/// A path as SQLite takes it for a file's name and nothing else.
[[nodiscard]] std::string sqlite_name(const std::string& path);
/// Sets what protects from files of others, for a database of which nothing was read yet.
void distrust(SQLite::Database& database);

/// Has a new database filled, opened under the name `file`; what SQLite says of it is told of its
/// `place`.
void fill_new(const std::string& place, const std::string& file,
              const std::function<void(SQLite::Database&)>& fill);

/// What is recorded and does not concern anybody else: entries of the register itself too.
[[nodiscard]] std::int64_t append_any(Connection& connection, const NewEntry& entry);

/// The number of the person who has a code, as the register tells it; none where it is not known.
[[nodiscard]] std::optional<std::int64_t> find_person(Connection& connection,
                                                      std::string_view code);
/// The same; throws InputError for a code that is not known.
[[nodiscard]] std::int64_t require_person(Connection& connection, std::string_view code);
/// The number that all of one person's have in common.
[[nodiscard]] std::int64_t joined_of(Connection& connection, std::int64_t person);
[[nodiscard]] std::vector<std::string> codes_of_joined(Connection& connection, std::int64_t joined);
/// Works out anew who of those that are joined is one person, from the links that stand.
void regroup(Connection& connection, std::int64_t joined);

/// Backups that the register tells of, in order.
[[nodiscard]] std::vector<BackupRecord> backups_of(Connection& connection);

/// The row of a content with its entry, as `content_columns` has them, with what it stands for held
/// against its commitment; throws Damaged.
[[nodiscard]] Entry checked_entry(const Query& row);
extern const char* const content_by_number;

}  // namespace earbudget::registers
