#include "records/register_report.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include <fmt/format.h>

#include "earbudget/limits/judge.hpp"
#include "earbudget/study/input_error.hpp"
#include "records/register_import.hpp"

namespace earbudget::records {

namespace {

using registers::Entry;
using registers::EntryKind;

constexpr Instant begin_of_time{0};
constexpr Instant end_of_time{253'370'764'800'000};  // of the year 9999
constexpr double width_of_bins_dB = 5.0;             // own choice

/// Puts sessions together from entries of any order.
class SessionCollector {
  public:
    void take(const Entry& entry) {
        if (!entry.session || !entry.as) return;
        SessionAnswer& answer = all_[{*entry.as, *entry.session}];
        if (answer.session == 0) {
            answer.session = *entry.session;
            answer.as = *entry.as;
            answer.begins = answer.ends = {entry.from, entry.offset_minutes};
        }
        if (entry.from < answer.begins.at) answer.begins = {entry.from, entry.offset_minutes};
        if (entry.to > answer.ends.at) answer.ends = {entry.to, entry.offset_minutes};
        answer.entries.push_back(entry.n);
        answer.runs += entry.kind == EntryKind::Run ? 1U : 0U;
        answer.lower_bound = answer.lower_bound || is_lower_bound(entry);
        if (entry.kind != EntryKind::SessionStart && entry.kind != EntryKind::Present) return;
        const auto body = sessions::read_presence(entry.body, cache_);
        if (!body) return;
        answer.person = body->person;
        answer.role = body->role;
        if (body->plan) answer.plan = *body->plan;
    }

    [[nodiscard]] std::vector<SessionAnswer> take_all() && {
        std::vector<SessionAnswer> sessions;
        for (auto& [key, answer] : all_) {
            std::ranges::sort(answer.entries);
            sessions.push_back(std::move(answer));
        }
        std::ranges::sort(sessions, {}, [](const SessionAnswer& one) {
            return std::pair(one.begins.at, one.session);
        });
        return sessions;
    }

  private:
    std::map<std::pair<std::string, std::int64_t>, SessionAnswer> all_ = {};
    sessions::RecordCache cache_ = {};
};

/// Codes and numbers of the sessions of a study.
struct SessionsOfStudy {
    std::map<std::string, std::set<std::int64_t>> by_code = {};
    std::set<std::string> titles = {};  ///< of all studies
};

SessionsOfStudy sessions_of_study(const registers::Register& from, const std::string& title) {
    SessionsOfStudy found;
    sessions::RecordCache cache;
    from.each(begin_of_time, end_of_time, [&](const Entry& entry) {
        if (entry.kind != EntryKind::SessionStart || !entry.as || !entry.session) return;
        const auto body = sessions::read_presence(entry.body, cache);
        if (!body || !body->plan || body->role != Role::Participant) return;
        found.titles.insert(body->plan->title);
        if (body->plan->title == title) found.by_code[*entry.as].insert(*entry.session);
    });
    return found;
}

bool is_any_of(const std::vector<std::int64_t>& numbers, const std::set<std::int64_t>& among) {
    return std::ranges::any_of(numbers, [&](std::int64_t n) { return among.contains(n); });
}

/// Leaves the days with one of these sessions, and the weeks with such days.
void keep_days_with(const std::set<std::int64_t>& numbers, PersonAnswer& person) {
    std::erase_if(person.days,
                  [&](const DayAnswer& day) { return !is_any_of(day.sessions, numbers); });
    std::erase_if(person.weeks, [&](const WeekAnswer& week) {
        return std::ranges::none_of(person.days, [&](const DayAnswer& day) {
            return day.total.day >= week.total.first && day.total.day <= week.total.last;
        });
    });
    std::erase_if(person.events,
                  [&](const EventAnswer& event) { return !numbers.contains(event.event.session); });
    person.months.clear();  // of all days, not of the study's
}

std::optional<double> left_on_day(const DayAnswer& day) {
    const CriterionResult* const tightest = day.total.judged->tightest();
    if (!tightest || !tightest->margin || tightest->made_for_others) return std::nullopt;
    return tightest->margin->dB();
}

void add_left(double dB, std::vector<LeftDays>& bins) {
    const double from = width_of_bins_dB * std::floor(dB / width_of_bins_dB);
    const auto at = std::ranges::find(bins, from, &LeftDays::from_dB);
    if (at != bins.end()) {
        ++at->days;
    } else {
        bins.push_back({from, from + width_of_bins_dB, 1});
    }
}

void add_close(const PersonAnswer& person, std::vector<CloseDay>& all) {
    for (const DayAnswer& day : person.days) {
        for (const CriterionResult& result : day.total.judged->criteria) {
            const bool is_close =
                result.verdict == Verdict::Close || result.verdict == Verdict::Over;
            if (result.decides && is_close)
                all.push_back({person.as, day.total.day, result, day.entries});
        }
    }
}

void summarise(RegisterReport& report) {
    for (const PersonAnswer& person : report.totals.people) {
        for (const DayAnswer& day : person.days)
            if (const auto dB = left_on_day(day)) add_left(*dB, report.left);
        add_close(person, report.close);
    }
    std::ranges::sort(report.left, {}, &LeftDays::from_dB);
    std::ranges::stable_sort(report.close, [](const CloseDay& one, const CloseDay& other) {
        return is_tighter(one.result, other.result);
    });
}

}  // namespace

std::size_t RegisterReport::days() const {
    std::size_t sum = 0;
    for (const PersonAnswer& person : totals.people)
        sum += person.days.size();
    return sum;
}

std::size_t RegisterReport::days_with(Verdict verdict) const {
    std::size_t sum = 0;
    for (const PersonAnswer& person : totals.people)
        for (const DayAnswer& day : person.days)
            sum += day.total.judged->verdict == verdict ? 1U : 0U;
    return sum;
}

std::size_t RegisterReport::people() const {
    std::set<std::vector<std::string>> all;
    for (const PersonAnswer& person : totals.people)
        all.insert(person.codes);
    return all.size();
}

std::optional<double> RegisterReport::median_left_dB() const {
    std::vector<double> all;
    for (const PersonAnswer& person : totals.people)
        for (const DayAnswer& day : person.days)
            if (const auto dB = left_on_day(day)) all.push_back(*dB);
    if (all.empty()) return std::nullopt;
    // Of two in the middle the lower one: what half of the days at least have.
    std::ranges::sort(all);
    return all[(all.size() - 1) / 2];
}

RegisterReport report_on_person(const registers::Register& from, const sessions::Calendar& calendar,
                                const TotalsWanted& wanted, report::Record record) {
    TotalsWanted with_silent = wanted;
    with_silent.silent_too = true;
    RegisterReport report{.of = ReportOf::Person,
                          .title = wanted.as.value_or(""),
                          .totals = totals_of(from, calendar, with_silent, std::move(record))};
    SessionCollector collector;
    const Instant begin = wanted.from ? calendar.span_of(*wanted.from).from : begin_of_time;
    const Instant end = wanted.to ? calendar.span_of(*wanted.to).to : end_of_time;
    for (const Entry& entry : from.of_person(report.title, begin, end))
        collector.take(entry);
    report.sessions = std::move(collector).take_all();
    summarise(report);
    return report;
}

RegisterReport report_on_study(const registers::Register& from, const sessions::Calendar& calendar,
                               const std::string& title, Instant now, report::Record record) {
    const SessionsOfStudy study = sessions_of_study(from, title);
    if (study.by_code.empty()) {
        throw InputError(
            {from.path()},
            fmt::format("holds no session by a plan of the title \"{}\"; accepted: {}", title,
                        study.titles.empty()
                            ? std::string("a register with sessions in it")
                            : fmt::format("\"{}\"", fmt::join(study.titles, "\", \""))));
    }
    RegisterReport report{.of = ReportOf::Study,
                          .title = title,
                          .totals = {file_of(from), std::move(record), {.now = now}}};
    SessionCollector collector;
    std::set<std::string> told;
    for (const auto& [code, numbers] : study.by_code) {
        std::set<std::int64_t> all = numbers;
        const auto codes = from.codes_of(code);
        for (const std::string& other : codes)
            if (const auto more = study.by_code.find(other); more != study.by_code.end())
                all.insert(more->second.begin(), more->second.end());
        if (codes.empty() || !told.insert(codes.front()).second) continue;
        const TotalsWanted wanted{
            .as = codes.front(), .role = Role::Participant, .now = now, .silent_too = true};
        for (PersonAnswer& person :
             totals_of(from, calendar, wanted, report.totals.record).people) {
            keep_days_with(all, person);
            report.totals.people.push_back(std::move(person));
        }
        for (const std::int64_t number : all)
            for (const Entry& entry : from.of_session(number))
                if (std::ranges::find(codes, entry.as.value_or("")) != codes.end())
                    collector.take(entry);
    }
    report.sessions = std::move(collector).take_all();
    summarise(report);
    return report;
}

RegisterReport report_on_staff(const registers::Register& from, const sessions::Calendar& calendar,
                               sessions::LocalDay month, Instant now, report::Record record) {
    const sessions::LocalDay first = sessions::first_of_month(month);
    constexpr int beyond_any_month = 31;
    const sessions::LocalDay last = sessions::first_of_month(first + beyond_any_month) + -1;
    RegisterReport report{
        .of = ReportOf::StaffMonth,
        .title = sessions::iso_date(first).substr(0, 7),
        .totals = totals_of(
            from, calendar,
            {.role = Role::Staff, .from = first, .to = last, .now = now, .silent_too = true},
            std::move(record))};
    summarise(report);
    return report;
}

}  // namespace earbudget::records
