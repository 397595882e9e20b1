#include "sessions/totals.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "earbudget/advice/assess_study.hpp"
#include "earbudget/exposure/limit.hpp"

namespace earbudget::sessions {

namespace {

constexpr int last_of_week = static_cast<int>(days_of_week) - 1;

/// What a part adds to a dose, in percent.
double dose_of(const Criterion& criterion, const Heard& part) {
    if (!part.exposure) return 0.0;
    const double a_second =
        value_of(criterion, parts_for(criterion, part.exposure->day)).value_or(0.0);
    return a_second * part.when.time().count();
}

/// The day of some on which the seven days that end with it use most of a weekly dose; none where
/// no weekly dose is asked about.
std::optional<LocalDay> heaviest_end(const std::vector<Heard>& parts, Role role, LocalDay first,
                                     LocalDay last, const Calendar& calendar) {
    std::optional<LocalDay> heaviest;
    double most = -1.0;
    for (LocalDay day = first; day <= last; day = day + 1) {
        const auto week = cut_to(span_of(Window::SevenDays, day, calendar), parts);
        const auto person = judged_as(week, role);
        if (!person) continue;
        for (const Criterion& criterion : person->policy.criteria) {
            if (window_of(criterion) != Window::SevenDays) continue;
            double used = 0.0;
            for (const Heard& part : week)
                used += dose_of(criterion, part) / criterion.limit();
            if (used <= most) continue;
            most = used;
            heaviest = day;
        }
    }
    return heaviest;
}

Missing missing_in(const std::vector<Heard>& parts) {
    Missing missing;
    for (const Heard& part : parts) {
        if (part.unconfirmed) missing.unconfirmed.push_back(part.entry);
        if (!part.exposure) missing.unknown_level.push_back(part.entry);
    }
    missing.overlapping = overlapping(parts);
    return missing;
}

DaysBy& counted_by(const CriterionResult& result, std::vector<DaysBy>& all) {
    const auto same = std::ranges::find_if(all, [&](const DaysBy& by) {
        return by.criterion == result.criterion->id && by.is_peak == result.is_peak;
    });
    if (same != all.end()) return *same;
    return all.emplace_back(DaysBy{.criterion = result.criterion->id,
                                   .is_peak = result.is_peak,
                                   .kind = result.criterion->kind});
}

void count(Verdict verdict, DaysBy& by) {
    ++by.days;
    by.over += verdict == Verdict::Over ? 1U : 0U;
    by.close += verdict == Verdict::Close ? 1U : 0U;
    by.unknown += verdict == Verdict::Unknown ? 1U : 0U;
}

MonthTotal& month_of(LocalDay day, std::vector<MonthTotal>& months) {
    const LocalDay first = first_of_month(day);
    const auto same = std::ranges::find(months, first, &MonthTotal::first);
    return same != months.end() ? *same : months.emplace_back(MonthTotal{.first = first});
}

void add(const DayTotal& day, std::vector<MonthTotal>& months) {
    MonthTotal& month = month_of(day.day, months);
    ++month.days;
    month.sessions += day.sessions_begun;
    month.runs += day.runs_begun;
    month.time += day.judged->exposure.time;
    month.at_ear_Pa2h += day.judged->exposure.at_ear_Pa2h;
    for (const CriterionResult& result : day.judged->criteria)
        count(result.by_probability(), counted_by(result, month.by));
}

/// Whether a part counts in a role: what is not known of counts in each.
bool is_in(Role role, const Heard& part) { return !part.exposure || part.exposure->role == role; }

}  // namespace

Totals::Totals(const Calendar& calendar, const TotalsAsked& asked, Take take, PersonOf person_of)
    : calendar_(calendar),
      asked_(asked),
      take_(std::move(take)),
      person_of_(std::move(person_of)),
      judge_(calendar, asked.drawn) {}

Span Totals::span(const Calendar& calendar, const TotalsAsked& asked) {
    // A week before each Monday's week, and a day for sessions that began before.
    const LocalDay first = monday_of(asked.first) + -static_cast<int>(days_of_week);
    return calendar.span_of(first, asked.last + 1);
}

void Totals::add(const registers::Entry& entry) {
    if (!entry.as) return;
    if (*entry.as != code_) {
        code_ = *entry.as;
        std::string person = person_of_ ? person_of_(code_) : code_;
        if (person != person_) finish();
        person_ = std::move(person);
    }
    entries_.push_back(entry);
}

void Totals::end() {
    finish();
    code_.clear();
    person_.clear();
}

void Totals::finish() {
    if (entries_.empty()) return;
    const HeardByPerson heard = heard_by(entries_, asked_.now, cache_);
    const auto silent = asked_.silent_too ? roles_without_runs(heard) : std::set<Role>();
    entries_.clear();
    bool is_taken = false;
    const Span range = calendar_.span_of(asked_.first, asked_.last);
    for (const Role role : role_rows.keys()) {
        if (asked_.role && *asked_.role != role) continue;
        const bool any = std::ranges::any_of(heard.parts, [&](const Heard& part) {
            return part.role == role && part.kind != HeardKind::Rest &&
                   !part.when.within(range).empty();
        });
        if (!any) continue;
        PersonTotals totals = totals_in(role, heard);
        add_to_role(totals);
        take_(std::move(totals));
        is_taken = true;
    }
    if (is_taken) return;
    for (const Role role : silent) {
        if (asked_.role && *asked_.role != role) continue;
        PersonTotals totals{.as = person_, .role = role};
        totals.missing.damaged = heard.damaged;
        totals.events = heard.events;
        take_(std::move(totals));
        return;  // events are the person's, in whatever role
    }
}

std::set<Role> Totals::roles_without_runs(const HeardByPerson& heard) {
    const Span range = calendar_.span_of(asked_.first, asked_.last);
    const auto is_within = [&](Instant at) { return at >= range.from && at < range.to; };
    std::set<Role> roles;
    for (const registers::Entry& entry : entries_) {
        using Kind = registers::EntryKind;
        if (entry.kind != Kind::SessionStart && entry.kind != Kind::Present) continue;
        const auto body = read_presence(entry.body, cache_);
        if (!body) continue;
        const bool has_event = std::ranges::any_of(heard.events, [&](const HeardEvent& event) {
            return event.session == entry.session && is_within(event.at);
        });
        if (has_event || is_within(entry.from)) roles.insert(body->role);
    }
    return roles;
}

PersonTotals Totals::totals_in(Role role, const HeardByPerson& heard) {
    PersonTotals totals{.as = person_, .role = role};
    std::set<LocalDay> days, mondays;
    const Span range = calendar_.span_of(asked_.first, asked_.last);
    for (const Heard& part : heard.parts) {
        const Span when = part.when.within(range);
        if (when.empty() || !is_in(role, part) || part.kind == HeardKind::Rest) continue;
        const LocalDay last = calendar_.day_of({when.to.ms - 1});
        for (LocalDay day = calendar_.day_of(when.from); day <= last; day = day + 1)
            days.insert(day);
    }
    for (const LocalDay day : days) {
        add_day(day, heard, totals);
        mondays.insert(monday_of(day));
    }
    for (const LocalDay monday : mondays)
        add_week(monday, heard, totals);
    totals.missing = missing_in(cut_to(range, heard.parts));
    totals.missing.damaged = heard.damaged;
    totals.parts = heard.parts;
    totals.events = heard.events;
    return totals;
}

void Totals::add_day(LocalDay day, const HeardByPerson& heard, PersonTotals& totals) {
    DayTotal total{.day = day, .judged = judge_.day(heard.parts, day, totals.role)};
    const auto parts = cut_to(calendar_.span_of(day), heard.parts);
    std::set<std::int64_t> sessions;
    for (const Heard& part : parts) {
        if (!is_in(totals.role, part) || part.kind == HeardKind::Rest) continue;
        sessions.insert(part.session);
        total.runs += part.kind == HeardKind::Run ? 1U : 0U;
    }
    total.sessions = sessions.size();
    std::map<std::int64_t, Instant> begins;
    for (const Heard& part : heard.parts) {
        if (!is_in(totals.role, part) || part.kind == HeardKind::Rest) continue;
        const auto [first, is_new] = begins.try_emplace(part.session, part.when.from);
        if (!is_new) first->second = std::min(first->second, part.when.from);
        if (part.kind == HeardKind::Run && calendar_.day_of(part.when.from) == day)
            ++total.runs_begun;
    }
    for (const std::int64_t session : sessions)
        if (calendar_.day_of(begins.at(session)) == day) ++total.sessions_begun;
    total.missing = missing_in(parts);
    earbudget::sessions::add(total, totals.months);
    totals.days.push_back(std::move(total));
}

void Totals::add_week(LocalDay monday, const HeardByPerson& heard, PersonTotals& totals) {
    WeekTotal week{.first = monday, .last = monday + last_of_week};
    auto calendar_week = judge_.week(heard.parts, monday, totals.role, Window::CalendarWeek);
    if (!calendar_week->criteria.empty()) week.calendar_week = std::move(calendar_week);
    const auto end = heaviest_end(heard.parts, totals.role, std::max(week.first, asked_.first),
                                  std::min(week.last, asked_.last), calendar_);
    if (end) {
        week.seven_days_end = *end;
        week.seven_days = judge_.week(heard.parts, *end, totals.role, Window::SevenDays);
    }
    if (week.calendar_week || week.seven_days) totals.weeks.push_back(std::move(week));
}

void Totals::add_to_role(const PersonTotals& totals) {
    auto role = std::ranges::find(roles_, totals.role, &RoleTotals::role);
    if (role == roles_.end()) role = roles_.insert(roles_.end(), RoleTotals{.role = totals.role});
    ++role->people;
    for (const DayTotal& day : totals.days)
        earbudget::sessions::add(day, role->months);
}

}  // namespace earbudget::sessions
