#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "register/register.hpp"
#include "sessions/calendar.hpp"
#include "sessions/session.hpp"

namespace earbudget::records {

/// A session with its entries.
struct SessionState {
    sessions::Session session;
    std::vector<registers::Entry> entries = {};  ///< of everybody in it, in order of time

    [[nodiscard]] std::int64_t number() const { return session.number; }
    /// Whose session it is, then everybody else, by their codes.
    [[nodiscard]] std::vector<std::string> codes() const;
    /// Throws InputError for a code that is not there, which names those that are.
    void require(const std::string& as, const char* option) const;
    [[nodiscard]] const sessions::PresenceBody& presence(const std::string& as) const;
    /// As it was at a moment: what had begun and was worn then.
    [[nodiscard]] sessions::Session at(Instant then) const;
    /// When the last that is told of somebody begins, or ends; not before the session begins.
    [[nodiscard]] Instant last_begin(const std::string& as) const;
    [[nodiscard]] Instant last_end(const std::string& as) const;
    /// Now; where what goes on begins later than it was told, so long behind its beginning as has
    /// passed since it was told: no run that goes on counts for nothing.
    [[nodiscard]] Instant running_until(Instant now) const;
};

/// Throws InputError where there is no such session that was started here.
[[nodiscard]] SessionState state_of(const registers::Register& from, std::int64_t session);

/// Sessions that have not ended, in order.
[[nodiscard]] std::vector<SessionState> open_sessions(const registers::Register& from);

/// Throws InputError where a session of the person, by any of their codes, has not ended; `then`
/// says what may follow once it has.
void refuse_open_session(const registers::Register& from, const std::string& code,
                         std::string_view then);

/// Whether a session that has ended is one to be asked about.
enum class Ended { Refused, Accepted };
/// The session that is asked for, or the only one that is open, or, where that is accepted, the
/// newest of all. Throws InputError, which names those that are open.
[[nodiscard]] SessionState session_asked(const registers::Register& from,
                                         std::optional<std::int64_t> session, Ended ended);

/// What counts for a person at a moment, by all their codes: the week before and after it, and
/// events whenever they were.
[[nodiscard]] std::vector<registers::Entry> entries_for(const registers::Register& from,
                                                        const sessions::Calendar& calendar,
                                                        const std::string& code, Instant at);

}  // namespace earbudget::records
