#include "records/register_totals.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "earbudget/limits/judge.hpp"
#include "earbudget/study/input_error.hpp"
#include "records/register_import.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

using sessions::Calendar;
using sessions::Heard;
using sessions::LocalDay;
using sessions::Span;

// Days that every calendar has and no register reaches.
constexpr LocalDay first_of_all{0};
constexpr LocalDay last_of_all{2'900'000};

/// Which sessions were brought in as a lower bound, seen while entries go by.
using Sessions = std::set<std::int64_t>;

/// What a span's figures come from.
struct Sources {
    std::vector<std::int64_t> entries = {};
    std::vector<std::int64_t> sessions = {};
    bool lower_bound = false;
};

Sources sources_in(const Span& span, const std::vector<Heard>& parts, const Sessions& bounds) {
    std::set<std::int64_t> entries, sessions;
    Sources sources;
    for (const Heard& part : sessions::cut_to(span, parts)) {
        if (part.entry > 0) entries.insert(part.entry);
        if (part.session > 0) sessions.insert(part.session);
        sources.lower_bound = sources.lower_bound || bounds.contains(part.session);
    }
    sources.entries.assign(entries.begin(), entries.end());
    sources.sessions.assign(sessions.begin(), sessions.end());
    return sources;
}

Span span_of(const sessions::WeekTotal& week, const Calendar& calendar) {
    Span span = calendar.span_of(week.first, week.last);
    if (week.seven_days) {
        const Span seven =
            sessions::span_of(sessions::Window::SevenDays, week.seven_days_end, calendar);
        if (!week.calendar_week) return seven;
        span = {std::min(span.from, seven.from), std::max(span.to, seven.to)};
    }
    return span;
}

/// The files behind the figures, in the order in which they were first used.
std::vector<FileUsed> files_in(const std::vector<Heard>& parts,
                               const std::set<std::int64_t>& used) {
    std::vector<FileUsed> files;
    for (const Heard& part : parts) {
        if (!part.exposure || !used.contains(part.entry)) continue;
        for (const sessions::FileHash& file : part.exposure->provenance.files) {
            auto known = std::ranges::find(files, file, &FileUsed::file);
            if (known == files.end()) known = files.insert(files.end(), FileUsed{file});
            auto& entries = known->entries;
            if (entries.empty() || entries.back() != part.entry) entries.push_back(part.entry);
        }
    }
    return files;
}

PersonAnswer answer_of(sessions::PersonTotals&& totals, const Calendar& calendar,
                       const TotalsWanted& wanted, const Sessions& bounds) {
    PersonAnswer answer{.as = totals.as, .role = totals.role, .months = std::move(totals.months)};
    answer.missing = std::move(totals.missing);
    std::set<std::int64_t> used;
    for (sessions::DayTotal& day : totals.days) {
        Sources from = sources_in(calendar.span_of(day.day), totals.parts, bounds);
        used.insert(from.entries.begin(), from.entries.end());
        answer.days.push_back(
            {std::move(day), std::move(from.entries), std::move(from.sessions), from.lower_bound});
    }
    for (sessions::WeekTotal& week : totals.weeks) {
        Sources from = sources_in(span_of(week, calendar), totals.parts, bounds);
        used.insert(from.entries.begin(), from.entries.end());
        answer.weeks.push_back({std::move(week), std::move(from.entries), from.lower_bound});
    }
    const Span range =
        calendar.span_of(wanted.from.value_or(first_of_all), wanted.to.value_or(last_of_all));
    for (const sessions::HeardEvent& event : totals.events)
        if (event.at >= range.from && event.at < range.to)
            answer.events.push_back({event, calendar.stated(event.at)});
    answer.files = files_in(totals.parts, used);
    return answer;
}

void take_tighter(const CriterionResult* result, const std::string& when,
                  const std::vector<std::int64_t>& entries, Tightest& tightest) {
    if (!result || (tightest.result && !is_tighter(*result, *tightest.result))) return;
    tightest = {result, when, &entries};
}

}  // namespace

std::vector<CriterionResult> WeekAnswer::criteria() const {
    std::vector<CriterionResult> all;
    for (const auto& judged : {total.calendar_week, total.seven_days})
        if (judged) all.insert(all.end(), judged->criteria.begin(), judged->criteria.end());
    return all;
}

Verdict WeekAnswer::verdict() const {
    Verdict worst = Verdict::Within;
    for (const CriterionResult& result : criteria())
        if (result.decides) worst = std::max(worst, result.verdict);
    return worst;
}

Verdict PersonAnswer::verdict() const {
    Verdict worst = days.empty() ? Verdict::Unknown : Verdict::Within;
    for (const DayAnswer& day : days)
        worst = std::max(worst, day.total.judged->verdict);
    for (const WeekAnswer& week : weeks)
        worst = std::max(worst, week.verdict());
    return worst;
}

bool PersonAnswer::lower_bound() const {
    return std::ranges::any_of(days, &DayAnswer::lower_bound) ||
           std::ranges::any_of(weeks, &WeekAnswer::lower_bound);
}

Verdict TotalsReport::verdict() const {
    Verdict worst = Verdict::Within;
    // Who heard no run has nothing to be judged.
    for (const PersonAnswer& person : people)
        if (!person.days.empty() || !person.weeks.empty())
            worst = std::max(worst, person.verdict());
    return worst;
}

bool TotalsReport::lower_bound() const {
    return std::ranges::any_of(people, &PersonAnswer::lower_bound);
}

std::vector<report::NamedSource> TotalsReport::sources() const {
    std::vector<report::NamedSource> all;
    const auto add = [&](const std::vector<CriterionResult>& results) {
        for (const CriterionResult& result : results)
            add_once({result.criterion->id, result.criterion->source}, all);
    };
    for (const PersonAnswer& person : people) {
        for (const DayAnswer& day : person.days)
            add(day.total.judged->criteria);
        for (const WeekAnswer& week : person.weeks)
            add(week.criteria());
    }
    return all;
}

std::vector<sessions::FileHash> TotalsReport::files() const {
    std::vector<sessions::FileHash> all;
    for (const PersonAnswer& person : people)
        for (const FileUsed& used : person.files)
            add_once(used.file, all);
    return all;
}

Tightest tightest_of(const PersonAnswer& person) {
    Tightest tightest;
    for (const DayAnswer& day : person.days) {
        take_tighter(day.total.judged->tightest(), sessions::iso_date(day.total.day), day.entries,
                     tightest);
    }
    for (const WeekAnswer& week : person.weeks) {
        const std::string calendar_week = "week from " + sessions::iso_date(week.total.first);
        const std::string seven_days =
            "seven days to " + sessions::iso_date(week.total.seven_days_end);
        if (week.total.calendar_week)
            take_tighter(week.total.calendar_week->tightest(), calendar_week, week.entries,
                         tightest);
        if (week.total.seven_days)
            take_tighter(week.total.seven_days->tightest(), seven_days, week.entries, tightest);
    }
    return tightest;
}

TotalsReport totals_of(const registers::Register& from, const Calendar& calendar,
                       const TotalsWanted& wanted, report::Record record) {
    if (wanted.as && !from.knows(*wanted.as))
        throw InputError({from.path()}, unknown_code(*wanted.as));
    TotalsReport report{file_of(from), std::move(record), wanted};
    const sessions::TotalsAsked asked{.first = wanted.from.value_or(first_of_all),
                                      .last = wanted.to.value_or(last_of_all),
                                      .role = wanted.role,
                                      .now = wanted.now,
                                      .silent_too = wanted.silent_too};
    Sessions bounds;
    std::string last, its_name;
    const auto person_of = [&](const std::string& code) {
        if (wanted.as) return *wanted.as;
        if (code != last) {
            const auto codes = from.codes_of(code);
            its_name = codes.empty() ? code : codes.front();
            last = code;
        }
        return its_name;
    };
    sessions::Totals totals(
        calendar, asked,
        [&](sessions::PersonTotals&& one) {
            report.people.push_back(answer_of(std::move(one), calendar, wanted, bounds));
        },
        person_of);
    const auto take = [&](const registers::Entry& entry) {
        if (entry.session && is_lower_bound(entry)) bounds.insert(*entry.session);
        totals.add(entry);
    };
    const Span span = sessions::Totals::span(calendar, asked);
    if (wanted.as) {
        for (const registers::Entry& entry : from.of_person(*wanted.as, span.from, span.to))
            take(entry);
    } else {
        from.each(span.from, span.to, take);
    }
    totals.end();
    report.roles = totals.roles();
    for (PersonAnswer& person : report.people)
        person.codes = from.codes_of(person.as);
    return report;
}

}  // namespace earbudget::records
