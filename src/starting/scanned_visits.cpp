#include "starting/scanned_visits.hpp"

#include <algorithm>
#include <cmath>

namespace earbudget::starting {

namespace {

constexpr double seconds_of_day = 86'400.0;
constexpr double most_days_apart = 3660.0;  // as a study of visits may state (files/keys_of_plans)

std::string participant_of(const bids::Session& session) {
    return session.name.substr(0, session.name.find('/'));
}

/// A time of day alone lies within the first two days since 1970, some time zones around it.
std::optional<double> day_of(const bids::Session& session) {
    for (const bids::Run& run : session.runs) {
        if (!run.start) continue;
        const double day = std::floor(run.start->count() / seconds_of_day);
        return day >= -1.0 && day <= 2.0 ? std::nullopt : std::optional(day);
    }
    return std::nullopt;
}

std::string joined(const std::vector<std::string>& names) {
    std::string text;
    for (const std::string& name : names)
        text += (text.empty() ? "" : " and ") + name;
    return text;
}

/// Puts visits into the order of their days and says how far apart they are, where dates tell.
void settle_days(const std::vector<ScannedVisit>& all, VisitsOfOne& of) {
    const auto day = [&](std::size_t visit) { return all[visit].day; };
    of.days_apart.assign(of.visits.size(), std::nullopt);
    if (!std::ranges::all_of(of.visits, [&](std::size_t n) { return day(n).has_value(); })) return;
    std::vector<std::size_t> by_day = of.visits;
    std::ranges::stable_sort(by_day, {}, day);
    const auto apart = [&](std::size_t n) { return *day(by_day[n]) - *day(by_day[n - 1]); };
    for (std::size_t n = 1; n < by_day.size(); ++n)
        if (apart(n) > most_days_apart) return;
    for (std::size_t n = 1; n < by_day.size(); ++n)
        of.days_apart[n] = static_cast<unsigned>(apart(n));
    of.visits = std::move(by_day);
}

}  // namespace

std::vector<std::string> ScannedVisit::names() const {
    std::vector<std::string> names;
    for (const bids::Session* session : sessions)
        names.push_back(session->name.empty() ? "one session" : session->name);
    return names;
}

std::string ScannedVisit::name() const { return joined(names()); }

std::string ScannedVisit::title() const {
    std::vector<std::string> titles;
    for (const std::string& name : names())
        titles.push_back(name.substr(name.find('/') == name.npos ? 0 : name.find('/') + 1));
    return joined(titles);
}

Seconds ScannedVisit::time() const {
    Seconds time{0.0};
    for (const bids::Session* session : sessions)
        time += session->time();
    return time;
}

std::vector<ScannedVisit> visits_of(const bids::Scans& scans) {
    std::vector<ScannedVisit> visits;
    for (const bids::Session& session : scans.sessions) {
        const std::string participant = participant_of(session);
        const auto day = day_of(session);
        const auto same = std::ranges::find_if(visits, [&](const ScannedVisit& visit) {
            return day && visit.day == day && visit.participant == participant;
        });
        if (same == visits.end()) {
            visits.push_back({participant, {&session}, day});
        } else {
            same->sessions.push_back(&session);
        }
    }
    for (ScannedVisit& visit : visits)
        std::ranges::stable_sort(visit.sessions, {}, [](const bids::Session* session) {
            return session->runs.front().start.value_or(Seconds(0.0));
        });
    return visits;
}

std::vector<VisitsOfOne> by_participant(const std::vector<ScannedVisit>& visits) {
    std::vector<VisitsOfOne> all;
    for (std::size_t n = 0; n < visits.size(); ++n) {
        const auto known = std::ranges::find(all, visits[n].participant, &VisitsOfOne::participant);
        if (known == all.end()) {
            all.push_back({visits[n].participant, {n}});
        } else {
            known->visits.push_back(n);
        }
    }
    std::erase_if(all, [](const VisitsOfOne& one) { return one.visits.size() < 2; });
    for (VisitsOfOne& one : all)
        settle_days(visits, one);
    return all;
}

}  // namespace earbudget::starting
