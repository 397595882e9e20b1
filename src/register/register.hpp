#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "register/entry.hpp"
#include "register/verification.hpp"

namespace earbudget::registers {

/// To verify, a register is read even where what keeps its entries from being changed was removed.
enum class Access { Read, Write, Verify };

class Connection;

/// The register of what ran: one file, to which entries are added and in which none is changed. An
/// object is one connection to it and is used by one thread at a time; any number of them, in any
/// number of programs, may write to one file. While a process has one it opens the file in no other
/// way: closing it would take the locks of all.
///
/// Whatever cannot be done with a register throws InputError at its file, which says what is wrong
/// and what to do; a fault of the machine (disk full) throws std::system_error. What is read was
/// recorded so: an entry that is not what its hash says is refused, never told.
class Register {
  public:
    /// Makes an empty register; throws InputError where the file exists, and for a place that
    /// cannot hold one, such as a network file system, whose locks are none.
    static void create(const std::string& path, const RegisterSettings& settings);

    /// Opens one that is there. An earlier version's is brought to this version, a later one's is
    /// refused.
    [[nodiscard]] static Register open(const std::string& path, Access access);

    Register(Register&&) noexcept;
    Register& operator=(Register&&) noexcept;
    ~Register();

    [[nodiscard]] const std::string& path() const;
    [[nodiscard]] const RegisterSettings& settings() const;

    /// Does work as one: what it appends is recorded when it returns, all of it or, where it
    /// throws, nothing. What it reads nobody changes meanwhile. Within another it is part of that
    /// one. Waits ten seconds at most for others that write.
    template <class Work>
    auto in_one(Work&& work) {
        Transaction transaction(*this);
        if constexpr (std::is_void_v<std::invoke_result_t<Work>>) {
            std::forward<Work>(work)();
            transaction.commit();
        } else {
            auto result = std::forward<Work>(work)();
            transaction.commit();
            return result;
        }
    }

    /// Records something and returns the number of its entry; it is on the disk when this, or the
    /// outermost in_one, returns. A code that is not known yet becomes that of a new person. Throws
    /// InputError for a code that cannot be one, for one that differs from a known one in capital
    /// letters alone, and for a correction of what is not there or corrected already.
    std::int64_t append(const NewEntry& entry);

    /// A number that no session has had.
    [[nodiscard]] std::int64_t next_session();

    /// Makes two codes those of one person, from now on and for all that is recorded; returns the
    /// number of the entry. Throws InputError for a code that is not known. To correct that entry
    /// with `kind` null parts them again.
    std::int64_t link(const std::string& one, const std::string& other,
                      const std::optional<std::string>& by = {});

    /// Deletes for good all codes, contents and salts of the person who has this code, and what is
    /// recorded in their sessions about nobody. The headers of the entries stay, so that verify
    /// proves the rest. Throws InputError for a code that is not known.
    Erased erase(const std::string& code, const std::optional<std::string>& by = {});

    /// Wipes what may be left of a person in free places of the file; whether that could be done,
    /// which it cannot while others read.
    [[nodiscard]] bool finish_erasing();

    /// Copies all into a new file while others go on writing, and records that; the copy is whole
    /// or not there. Throws InputError where the file exists.
    BackupRecord backup(const std::string& to, const std::optional<std::string>& by = {});

    /// Whether a code is known, and was not erased.
    [[nodiscard]] bool knows(std::string_view code) const;
    /// All codes, in order.
    [[nodiscard]] std::vector<std::string> codes() const;
    /// All codes of the person who has this one; none for one that is not known.
    [[nodiscard]] std::vector<std::string> codes_of(std::string_view code) const;

    /// What a person has by all their codes that lies in [from, to) in part or as a whole, in order
    /// of time; corrections stand in the place of what they correct. None for an unknown code.
    [[nodiscard]] std::vector<Entry> of_person(std::string_view code, Instant from,
                                               Instant to) const;

    /// What belongs to a session, likewise, in order of time.
    [[nodiscard]] std::vector<Entry> of_session(std::int64_t session) const;

    /// The same as of_person for everybody, each entry in turn: those of one person, by all their
    /// codes, together, in order of time; those of nobody come first. Reading within is allowed,
    /// appending is not.
    void each(Instant from, Instant to, const std::function<void(const Entry&)>& take) const;

    /// An entry as it was recorded and all corrections of it or before it, in order. Empty where
    /// there is none of that number or it was erased.
    [[nodiscard]] std::vector<Entry> history(std::int64_t n) const;

    /// Events of a person and what cleared them, by all their codes, whenever they were; else as
    /// of_person.
    [[nodiscard]] std::vector<Entry> events_of(std::string_view code) const;

    /// The numbers of sessions that began and have no end, of the newest hundred (own choice), in
    /// order; some of which something was corrected may have ended.
    [[nodiscard]] std::vector<std::int64_t> perhaps_open_sessions() const;

    /// The session with the greatest number; none where there is none.
    [[nodiscard]] std::optional<std::int64_t> newest_session() const;

    [[nodiscard]] Head head() const;
    [[nodiscard]] std::vector<BackupRecord> backups() const;

    /// Whom the site need not keep any longer at a moment; nobody where it keeps for good.
    [[nodiscard]] std::vector<Due> due(Instant at) const;

    /// Everything that is recorded of a person. Throws InputError for a code that is not known.
    [[nodiscard]] PersonCopy copy_of(std::string_view code) const;

    /// Whether anything was changed, removed or moved; with the head of an earlier time also
    /// whether something was cut off its end or all was written anew.
    [[nodiscard]] Verification verify(const std::optional<Head>& head = {}) const;

  private:
    class Transaction {
      public:
        explicit Transaction(Register& target);
        Transaction(const Transaction&) = delete;
        Transaction& operator=(const Transaction&) = delete;
        ~Transaction();
        void commit();

      private:
        Connection& connection_;
        bool is_done_ = false;
    };

    explicit Register(std::unique_ptr<Connection> connection);

    std::unique_ptr<Connection> connection_;
};

}  // namespace earbudget::registers
