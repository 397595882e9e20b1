#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "desk/desk.hpp"
#include "desk/studies.hpp"
#include "records/session_next.hpp"
#include "records/session_recorder.hpp"
#include "sessions/heard.hpp"
#include "sessions/judged.hpp"

namespace earbudget::desk::at_session {

inline constexpr std::uint64_t seed_of_draws = 1;  // as the command line draws

/// Somebody who is there.
struct Somebody {
    std::string as;
    std::string id;                   ///< in the plan
    const Person* planned = nullptr;  ///< null: the plan cannot be used now, as the next two
    const HandOut* out = nullptr;     ///< null also where it would take too long to look for
    std::optional<Person> worn = std::nullopt;  ///< wearing what is worn now
    records::EarsSeated ears = {};
    sessions::HeardByPerson heard = {};  ///< of day and week, in all sessions
    std::optional<records::NextReport> next = std::nullopt;
    /// What was heard until now, of what goes on no more than that; `next` counts it until its
    /// planned end.
    std::shared_ptr<const sessions::Judged> until_now = nullptr;

    [[nodiscard]] const sessions::HeardEvent* stop() const { return heard.stop(); }
};

/// A session as its page looks at it: all that is asked of the register and of the plan, once.
struct Look {
    Look(const Opened& desk, const Asked& asked, std::int64_t number);

    [[nodiscard]] std::int64_t number() const { return state.number(); }
    [[nodiscard]] const Somebody& participant() const { return people.front(); }
    /// The run that goes on, as the participant hears it; null for none.
    [[nodiscard]] const sessions::OpenRun* running() const;
    [[nodiscard]] bool is_over() const { return state.session.ends.has_value(); }
    /// Whoever is there and must stop; null for nobody.
    [[nodiscard]] const Somebody* stopped() const;
    /// Null where the plan cannot be used now.
    [[nodiscard]] const Plan* plan() const;
    /// A moment as the site's clocks show it: "10:32:05".
    [[nodiscard]] std::string clock(Instant at) const;

    const Opened& desk;
    const Asked& asked;
    registers::Register from;
    sessions::Calendar calendar;
    Instant now;
    records::SessionState state;
    std::int64_t newest = 0;  ///< entry of the session, by which a form knows what its page showed
    std::shared_ptr<const Kept> kept = nullptr;
    std::vector<std::string> why_no_plan = {};
    std::vector<Somebody> people = {};  ///< whose session it is, then the others

  private:
    void read_plan();
    void add(const std::string& as);
    void ask_next(Somebody& one);
};

/// A moment of another day as the site's clocks showed it: "2026-11-29 10:32".
[[nodiscard]] std::string day_and_time(const sessions::Calendar& calendar, Instant at);

/// The newest entry of a session; corrections count as what stands in the place of what they
/// correct, so that it may become smaller too.
[[nodiscard]] std::int64_t newest_of(const records::SessionState& state);

/// How records are asked by this browser.
[[nodiscard]] records::SessionAsked told_by(const Asked& asked, std::int64_t number);

/// What a sequence is called on the page: by its title, else its id.
[[nodiscard]] std::string title_of(const Look& look, const std::string& sequence);

/// How long a run was to last; nothing where that is not known.
[[nodiscard]] Seconds planned_time(const sessions::OpenRun& run);

}  // namespace earbudget::desk::at_session
