#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "bids/scans.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/ids.hpp"
#include "records/past_runs.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

StatedInstant after(StatedInstant at, Seconds time, const sessions::Calendar& calendar) {
    return calendar.stated({at.at.ms + std::llround(time.count() * 1000.0)});
}

/// The card that a run is of, and how long it lasted where its files do not tell.
struct CardOfRun {
    std::optional<std::size_t> sequence = std::nullopt;
    std::optional<Seconds> stated = std::nullopt;
};

CardOfRun card_of(const bids::Run& run, const std::vector<files::MatchRow>& rows,
                  const Plan& plan) {
    if (const files::MatchRow* row = bids::match_of(run, rows))
        return {sessions::sequence_named(plan, row->sequence), row->duration};
    for (const std::string& name : {run.name, run.kind})
        if (const auto found = sessions::sequence_named(plan, name)) return {found};
    return {};
}

/// The one session of a folder. Throws InputError for several, which it names.
const bids::Session& only_session(const bids::Scans& scans, const std::string& folder) {
    if (scans.sessions.size() == 1) return scans.sessions.front();
    const std::string names =
        report::joined(scans.sessions, ", ", [](const bids::Session& one) { return one.name; });
    throw InputError({folder}, scans.sessions.empty()
                                   ? std::string("holds no scans; accepted: the folder of one "
                                                 "session of one person")
                                   : fmt::format("holds {} sessions ({}); accepted: the folder of "
                                                 "one of them, once for each person and day",
                                                 scans.sessions.size(), names));
}

}  // namespace

PastRuns runs_of_scans(const std::string& folder, const std::optional<std::string>& match,
                       StatedInstant begin, SessionPlan& plan, const sessions::Calendar& calendar,
                       const PastDefaults& defaults, files::ErrorList& errors) {
    std::vector<files::MatchRow> rows;
    if (match) rows = files::read_match(*match, plan.inputs);
    const std::string person = person_meant(defaults.person, plan, errors);
    const bids::Scans scans = bids::read_scans(folder, plan.inputs, errors);
    PastRuns all{.from = folder, .lower_bound = true};
    if (!errors.empty()) return all;
    const bids::Session& session = only_session(scans, folder);
    all.notes = session.notes;
    std::optional<Seconds> first;
    for (const bids::Run& run : session.runs)
        if (run.start && (!first || *run.start < *first)) first = run.start;
    StatedInstant next = begin;
    for (const bids::Run& run : session.runs) {
        const auto [sequence, stated] = card_of(run, rows, plan.plan());
        // What somebody states goes before a bound, as where a plan is made of scans.
        const bool is_bound =
            run.duration && run.duration->source == DurationSource::NextStart && stated;
        const std::optional<Seconds> time =
            run.duration && !is_bound ? run.duration->time : stated;
        if (!sequence || !time) {
            errors.add({{folder},
                        fmt::format("{}: {}; accepted: {}", run.name,
                                    sequence ? "how long it lasted is not known" + run.missing
                                             : "no sequence of the plan has its name",
                                    "a row of [match] in a site file, which --match names")});
            continue;
        }
        if (run.start) next = after(begin, *run.start - *first, calendar);
        all.runs.push_back({.as = defaults.as.value_or(""),
                            .person = person,
                            .sequence = *sequence,
                            .from = next,
                            .time = *time,
                            .at = {folder}});
        next = after(next, *time, calendar);
    }
    all.notes.push_back(fmt::format("{}; when the first run began is as stated, {}",
                                    bids::scans_are_a_lower_bound, rfc3339(begin)));
    return all;
}

}  // namespace earbudget::records
