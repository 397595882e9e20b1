#include "records/past_runs.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "earbudget/study/input_error.hpp"
#include "report/words/words.hpp"
#include "sessions/session.hpp"

namespace earbudget::records {

namespace {

using registers::EntryKind;
using registers::NewEntry;
using Runs = std::vector<PastRun>;

sessions::WornNow worn_in(const PastRun& run, const Person& person) {
    return {.wears = run.wears.value_or(person.wears), .wearing = person.wearing};
}

/// Refuses what could not be recorded as it is, before anything is.
void check_levels(const SessionPlan& plan, const Runs& runs, files::ErrorList& errors) {
    std::map<std::tuple<std::string, std::vector<std::string>, std::size_t>, bool> tried;
    for (const PastRun& run : runs) {
        const Person& person = plan.person(run.person);
        const sessions::WornNow worn = worn_in(run, person);
        if (!tried.try_emplace({run.person, worn.wears, run.sequence}, true).second) continue;
        const auto record =
            sessions::record_of_run(plan.plan(), sessions::wearing_now(person, worn), run.sequence,
                                    plan.provenance(run.sequence));
        if (!record) errors.add({run.at, text_of(record.obstacle())});
    }
}

bool is_heard(EntryKind kind) {
    return kind == EntryKind::Run || kind == EntryKind::RunStart || kind == EntryKind::Task;
}

/// In order of people and time.
void check_times(const registers::Register& to, const Runs& runs, files::ErrorList& errors) {
    for (std::size_t n = 0; n < runs.size(); ++n) {
        const PastRun& run = runs[n];
        if (n > 0 && runs[n - 1].as == run.as && runs[n - 1].to() > run.from.at) {
            errors.add({run.at, fmt::format("begins at {}, before the run before it is over; "
                                            "accepted: one run at a time",
                                            rfc3339(run.from))});
        }
        if (!to.knows(run.as)) continue;
        for (const registers::Entry& entry : to.of_person(run.as, run.from.at, run.to())) {
            if (!is_heard(entry.kind)) continue;
            errors.add({run.at, fmt::format("is at a time of which entry {} tells already; "
                                            "accepted: what is not recorded yet",
                                            entry.n)});
        }
    }
}

/// Those of one person on one day.
std::vector<Runs> sessions_of(const Runs& runs, const sessions::Calendar& calendar) {
    std::vector<Runs> all;
    for (const PastRun& run : runs) {
        const bool goes_on =
            !all.empty() && all.back().front().as == run.as &&
            all.back().front().person == run.person &&
            calendar.day_of(all.back().front().from.at) == calendar.day_of(run.from.at);
        if (!goes_on) all.emplace_back();
        all.back().push_back(run);
    }
    return all;
}

/// Records one session.
class PastSession {
  public:
    PastSession(registers::Register& to, const SessionPlan& plan, const PastRuns& source,
                const std::string& sha256, const std::optional<std::string>& by)
        : to_(to), plan_(plan), source_(source), sha256_(sha256), by_(by) {}

    void record(const Runs& runs, Imported& told) {
        const PastRun& first = runs.front();
        const std::int64_t number = to_.next_session();
        const Person& person = plan_.person(first.person);
        append(import_entry(runs, number), told);
        sessions::Session session{.number = number,
                                  .as = first.as,
                                  .start = {.person = person.id, .role = person.role},
                                  .begins = first.from.at};
        const sessions::Provenance of_plan = plan_.provenance();
        append(sessions::entry_of_start(with(of_plan, number, first.from), first.as, person,
                                        plan_.ref),
               told);
        std::vector<std::string> wears = person.wears;
        for (const PastRun& run : runs) {
            const sessions::WornNow worn = worn_in(run, person);
            if (worn.wears != wears) {
                append(
                    sessions::entry_of_wear(with(of_plan, number, run.from), run.as, person, worn),
                    told);
            }
            wears = worn.wears;
            session.worn[run.as] = worn;
            const sessions::Provenance of_run = plan_.provenance(run.sequence);
            for (const NewEntry& entry :
                 sessions::entries_of_run(with(of_run, number, run.from), session, run.sequence,
                                          run.time, plan_.card(run.sequence)))
                append(entry, told);
        }
        const StatedInstant end{runs.back().to(), runs.back().from.offset_minutes};
        for (const NewEntry& entry : sessions::entries_of_end(with(of_plan, number, end), session))
            append(entry, told);
        told.sessions.push_back(number);
        told.runs += runs.size();
    }

  private:
    [[nodiscard]] sessions::Recording with(const sessions::Provenance& provenance,
                                           std::int64_t session, const StatedInstant& at) const {
        return {plan_.plan(), provenance, session, at.at, at.offset_minutes, by_};
    }

    [[nodiscard]] NewEntry import_entry(const Runs& runs, std::int64_t session) const {
        const nlohmann::ordered_json body = {{"from", source_.from},
                                             {"sha256", sha256_},
                                             {"lower_bound", source_.lower_bound},
                                             {"notes", source_.notes}};
        NewEntry entry;
        entry.kind = EntryKind::Import;
        entry.as = runs.front().as;
        entry.by = by_;
        entry.session = session;
        entry.from = runs.front().from.at;
        entry.to = runs.back().to();
        entry.offset_minutes = runs.front().from.offset_minutes;
        entry.body = body.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
        return entry;
    }

    void append(const NewEntry& entry, Imported& told) {
        const std::int64_t n = to_.append(entry);
        if (told.first == 0) told.first = n;
        told.last = n;
    }

    registers::Register& to_;
    const SessionPlan& plan_;
    const PastRuns& source_;
    const std::string& sha256_;
    const std::optional<std::string>& by_;
};

}  // namespace

Instant PastRun::to() const { return {from.at.ms + std::llround(time.count() * 1000.0)}; }

std::vector<Imported> record_past_runs(registers::Register& to, const SessionPlan& plan,
                                       const sessions::Calendar& calendar, PastRuns runs,
                                       const std::string& sha256,
                                       const std::optional<std::string>& by) {
    std::ranges::stable_sort(runs.runs, {}, [](const PastRun& run) {
        return std::tuple(run.as, run.from.at, run.person);
    });
    files::ErrorList errors;
    check_levels(plan, runs.runs, errors);
    errors.throw_if_any();
    std::vector<Imported> all;
    to.in_one([&] {
        check_times(to, runs.runs, errors);
        errors.throw_if_any();
        PastSession session(to, plan, runs, sha256, by);
        for (const Runs& one : sessions_of(runs.runs, calendar)) {
            if (all.empty() || all.back().as != one.front().as) {
                all.push_back({.as = one.front().as,
                               .from = runs.from,
                               .sha256 = sha256,
                               .lower_bound = runs.lower_bound,
                               .notes = runs.notes});
            }
            session.record(one, all.back());
        }
    });
    return all;
}

}  // namespace earbudget::records
