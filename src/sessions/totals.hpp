#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "sessions/judged.hpp"

namespace earbudget::sessions {

/// What is not known of what somebody heard: entries by their numbers.
struct Missing {
    std::vector<std::int64_t> unconfirmed = {};  ///< runs whose end is not stated
    std::vector<std::int64_t> unknown_level =
        {};  ///< counted as nothing; what is within is undecided
    std::vector<std::pair<std::int64_t, std::int64_t>> overlapping = {};  ///< both count
    std::vector<std::int64_t> damaged = {};                               ///< that cannot be read

    [[nodiscard]] bool empty() const {
        return unconfirmed.empty() && unknown_level.empty() && overlapping.empty() &&
               damaged.empty();
    }
};

/// One day in one role.
struct DayTotal {
    LocalDay day = {};
    std::size_t sessions = 0, runs = 0;
    /// Of these, that began on this day: what lasts over midnight counts once in a month.
    std::size_t sessions_begun = 0, runs_begun = 0;
    std::shared_ptr<const Judged> judged = nullptr;
    Missing missing = {};
};

/// A week that began on a Monday. The criteria on the calendar week, and those on seven days in a
/// row by the heaviest of them that ends in this week.
struct WeekTotal {
    LocalDay first = {}, last = {};
    std::shared_ptr<const Judged> calendar_week = nullptr;  ///< null: no criterion asks
    std::shared_ptr<const Judged> seven_days = nullptr;     ///< likewise
    LocalDay seven_days_end = {};
};

/// On how many days one limit came out how.
struct DaysBy {
    std::string criterion;  ///< its id
    bool is_peak = false;
    CriterionKind kind = CriterionKind::Limit;
    std::size_t over = 0;     ///< by the best estimate: of an action value, days above it
    std::size_t close = 0;    ///< over with more than the accepted probability
    std::size_t unknown = 0;  ///< undecided
    std::size_t days = 0;     ///< judged by it
};

/// A month, or as much of it as was asked about; of one person or of all in a role.
struct MonthTotal {
    LocalDay first = {};  ///< of the month
    std::size_t days = 0, sessions = 0, runs = 0;
    Seconds time{0.0};         ///< in noise
    double at_ear_Pa2h = 0.0;  ///< sound exposure at the ear
    std::vector<DaysBy> by = {};
};

struct PersonTotals {
    std::string as;  ///< one of the person's codes
    Role role = Role::Participant;
    std::vector<DayTotal> days = {};
    std::vector<WeekTotal> weeks = {};
    std::vector<MonthTotal> months = {};
    Missing missing = {};
    /// What the figures come from, in whatever role it was heard; all that was given.
    std::vector<Heard> parts = {};
    std::vector<HeardEvent> events = {};  ///< likewise
};

/// All people in one role.
struct RoleTotals {
    Role role = Role::Participant;
    std::size_t people = 0;
    std::vector<MonthTotal> months = {};
};

/// Which totals are asked for.
struct TotalsAsked {
    LocalDay first = {}, last = {};  ///< days, both counted
    std::optional<Role> role = std::nullopt;
    Instant now = {};  ///< until when what is not stopped counts
    /// By bounds and as few draws as are sure; or by all that are set.
    Drawn drawn = Drawn::AsFewAsAreSure;
    /// Whoever was there and heard no run is handed on too, with events and without days.
    bool silent_too = false;
};

/// Totals from a stream of entries, those of one person together, in the order of
/// registers::Register::each: only one person's are held at a time. Entries from span() are needed:
/// windows of seven days begin before the first day, sessions before their runs.
class Totals {
  public:
    using Take = std::function<void(PersonTotals&&)>;
    /// One name for all codes of a person; null: each code is a person.
    using PersonOf = std::function<std::string(const std::string& code)>;

    Totals(const Calendar& calendar, const TotalsAsked& asked, Take take,
           PersonOf person_of = nullptr);

    /// From when to when entries are needed.
    [[nodiscard]] static Span span(const Calendar& calendar, const TotalsAsked& asked);

    void add(const registers::Entry& entry);
    /// After the last entry: hands on the last person.
    void end();

    [[nodiscard]] const std::vector<RoleTotals>& roles() const { return roles_; }
    /// How many days and weeks were judged, those alike once.
    [[nodiscard]] std::size_t judged() const { return judge_.judged(); }

  private:
    void finish();
    /// In each role in which the person was there, or in which something happened to them.
    [[nodiscard]] std::set<Role> roles_without_runs(const HeardByPerson& heard);
    [[nodiscard]] PersonTotals totals_in(Role role, const HeardByPerson& heard);
    void add_day(LocalDay day, const HeardByPerson& heard, PersonTotals& totals);
    void add_week(LocalDay monday, const HeardByPerson& heard, PersonTotals& totals);
    void add_to_role(const PersonTotals& totals);

    const Calendar& calendar_;
    TotalsAsked asked_;
    Take take_;
    PersonOf person_of_;
    Judge judge_;
    RecordCache cache_ = {};
    std::string code_ = {}, person_ = {};  ///< of the entries that are held
    std::vector<registers::Entry> entries_ = {};
    std::vector<RoleTotals> roles_ = {};
};

}  // namespace earbudget::sessions
