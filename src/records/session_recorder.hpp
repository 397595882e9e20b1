#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "files/error_list.hpp"
#include "records/session_done.hpp"
#include "records/session_plan.hpp"
#include "records/session_state.hpp"

namespace earbudget::records {

/// How something is told of a session.
struct SessionAsked {
    std::optional<std::int64_t> session = std::nullopt;  ///< none: the one that is open
    std::optional<std::string> as = std::nullopt;    ///< of whom in it; none: whose session it is
    std::optional<std::string> by = std::nullopt;    ///< who tells it
    std::optional<StatedInstant> at = std::nullopt;  ///< none: now
    std::optional<std::string> plan = std::nullopt;  ///< where the plan lies now; none: as it did
    std::optional<std::string> cleared_by = std::nullopt;  ///< who cleared what stopped
};

struct SessionBegin {
    std::string plan, person, as;
    /// Who else is there: a person of the plan and a code.
    std::vector<std::pair<std::string, std::string>> present = {};
};

struct WearTold {
    std::vector<std::string> wears = {};
    bool poor_fit = false;
    std::optional<double> fraction_worn = std::nullopt;  ///< none: as the plan has it
    std::optional<LevelDifference> PAR = std::nullopt;
};

/// What is told of a run: that it began, how long it is to last, how long it lasted.
struct RunTold {
    /// None: that of the card, or of the run that goes on.
    std::optional<std::string> sequence = std::nullopt;
    std::optional<std::string> card = std::nullopt;  ///< of what the plan does not have
    std::optional<Seconds> lasting = std::nullopt;
    std::optional<Seconds> stopped = std::nullopt;  ///< after that time
    bool stop = false;                              ///< it is over now
};

struct CorrectionTold {
    std::int64_t entry = 0;
    std::optional<Seconds> lasting = std::nullopt;
    bool never = false;  ///< it did not happen
    std::string why = {};
};

/// Throws InputErrors for the times and codes of what is asked that cannot be.
void check_asked(const SessionAsked& asked, const sessions::Calendar& calendar, Instant now,
                 files::ErrorList& errors);

/// The plan of a session as its files are now; where they were changed since it began that is
/// noted. Throws InputError where it is not there.
[[nodiscard]] SessionPlan plan_of(const SessionState& state, const SessionAsked& asked,
                                  const std::string& date, std::vector<SessionNote>& notes);

/// The session that an answer is asked of, also one that has ended, with the code that is asked
/// for. Throws InputErrors, all of them.
[[nodiscard]] SessionState session_to_answer(const registers::Register& from,
                                             const SessionAsked& asked,
                                             const sessions::Calendar& calendar, Instant now);

/// What must be known at a moment of the runs of a session whose ends are not told, and of an event
/// that stops everything.
void note_state(const SessionState& state, const std::vector<registers::Entry>& of_person,
                const sessions::Calendar& calendar, Instant at, std::vector<SessionNote>& notes);
/// That somebody must stop, whose code is named where it is not the session's.
void note_stop(const std::vector<registers::Entry>& of_person, const std::string& as,
               const sessions::Calendar& calendar, Instant at, std::vector<SessionNote>& notes);
/// The same of everybody else who is there.
void note_others_stopped(const registers::Register& from, const SessionState& state,
                         const sessions::Calendar& calendar, Instant at,
                         std::vector<SessionNote>& notes);

/// Whether the clock was set back since something of the session was recorded.
void note_clock(const SessionState& state, const sessions::Calendar& calendar, Instant now,
                std::vector<SessionNote>& notes);

/// Which ears are checked as seated since protectors were put in last, or came loose.
struct EarsSeated {
    bool left = false, right = false;
};
[[nodiscard]] EarsSeated ears_at(const SessionState& state, const std::string& as, Instant at);

/// Throws InputError for a run of a session that would end more than a minute from now, `to`; since
/// when it would have run says how long it may have been.
void refuse_beyond_now(std::int64_t session, Instant since, Instant to, Instant now,
                       const sessions::Calendar& calendar);

/// Why somebody may not go near the magnet with what they wear: what of it is stated not to be free
/// of metal; empty where nothing is.
[[nodiscard]] std::string metal_words(const Plan& plan, const Person& worn);

/// Whether both ears are checked as seated, where something is worn.
void note_checks(const SessionState& state, const Person& worn, const std::string& as, Instant at,
                 std::vector<SessionNote>& notes);

/// Tells a register what happens in sessions. Each call records all of it or, where it throws,
/// nothing. Throws InputErrors with all that is wrong with what is told.
class SessionRecorder {
  public:
    SessionRecorder(registers::Register& into, SessionAsked asked, std::string date);

    [[nodiscard]] SessionDone start(const SessionBegin& begin);
    [[nodiscard]] SessionDone wear(const WearTold& told);
    [[nodiscard]] SessionDone check(const sessions::CheckBody& told);
    /// A run without any time has begun and goes on. One with a stated time counts in full from
    /// `at`, else from now or the end of the one before, whichever is later. A stop ends the one
    /// that goes on; where none of that sequence does, the run that was stopped ended now.
    [[nodiscard]] SessionDone run(const RunTold& told);
    /// None: nothing but what clears an earlier event.
    [[nodiscard]] SessionDone event(const std::optional<sessions::EventBody>& told);
    [[nodiscard]] SessionDone end();
    [[nodiscard]] SessionDone correct(const CorrectionTold& told);

  private:
    [[nodiscard]] SessionDone done(std::string action, std::int64_t session, std::string as) const;
    [[nodiscard]] SessionState asked_session(Ended ended) const;
    /// What is stated, else the clock's; not before what began last of what was told of somebody.
    [[nodiscard]] Instant moment(const SessionState& state, const std::string& as) const;
    [[nodiscard]] sessions::Recording recording(const SessionPlan& plan,
                                                const sessions::Provenance& from,
                                                std::int64_t session, Instant at) const;
    void append(const registers::NewEntry& entry, SessionDone& done);
    void append(const std::vector<registers::NewEntry>& entries, SessionDone& done);
    /// Clears what is stopped, where somebody is named who did.
    void clear(const std::string& as, std::int64_t session, SessionDone& done);
    void finish(SessionDone& done);

    void add_others(const SessionBegin& begin, const SessionPlan& plan, Instant at,
                    SessionDone& done);
    void add_run(const SessionState& state, const RunTold& told, SessionDone& done);
    void stop_run(const SessionState& state, const RunTold& told, SessionDone& done);
    void add_correction(const registers::Entry& entry, const CorrectionTold& told,
                        SessionDone& done);

    registers::Register& into_;
    SessionAsked asked_;
    std::string date_;
    sessions::Calendar calendar_;
    Instant now_;
    sessions::RecordCache cache_ = {};
};

}  // namespace earbudget::records
