#include "sessions/session.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "report/words/words.hpp"

namespace earbudget::sessions {

namespace {

using registers::Entry;
using registers::EntryKind;
using registers::NewEntry;

NewEntry entry(const Recording& with, EntryKind kind, const std::string& as, std::string body) {
    NewEntry entry;
    entry.kind = kind;
    entry.as = as;
    entry.by = with.by;
    entry.session = with.session;
    entry.from = entry.to = with.at;
    entry.offset_minutes = with.offset_minutes;
    entry.body = std::move(body);
    return entry;
}

Instant later_by(Instant at, Seconds time) { return {at.ms + std::llround(time.count() * 1000.0)}; }

SharedRecord shared(Result<ExposureRecord> record) {
    return record ? std::make_shared<const ExposureRecord>(*std::move(record)) : nullptr;
}

/// Puts an exposure into a body, or why there is none.
void put(Result<ExposureRecord> exposure, RunBody& body) {
    if (!exposure) body.why_unknown = earbudget::text_of(exposure.obstacle());
    body.exposure = shared(std::move(exposure));
}

std::vector<std::string> codes_of(const Session& session) {
    std::vector<std::string> codes = {session.as};
    for (const auto& [code, presence] : session.present)
        codes.push_back(code);
    return codes;
}

SessionOfDay session_of_day(const Recording& with, const std::string& code) {
    const bool is_seen = std::ranges::find(with.seen_today, code) != with.seen_today.end();
    return is_seen ? SessionOfDay::Later : SessionOfDay::First;
}

/// Of everybody who hears a run; whose tasks bring them none of it have no entry.
std::vector<NewEntry> entries_of(const Recording& with, const Session& session, EntryKind kind,
                                 std::size_t sequence, const RunBody& said, Instant to) {
    std::vector<NewEntry> entries;
    for (const std::string& code : codes_of(session)) {
        RunBody body = said;
        put(record_of_run(with.plan, session.person(with.plan, code), sequence, with.provenance,
                          session_of_day(with, code)),
            body);
        if (body.exposure && body.exposure->day.rows.empty()) continue;
        entries.push_back(entry(with, kind, code, text_of(body)));
        entries.back().to = to;
    }
    return entries;
}

PresenceBody presence_of(const Recording& with, const std::string& as, const Person& person) {
    return {.person = person.id,
            .role = person.role,
            .program = with.provenance.program,
            .rest = shared(
                record_of_rest(with.plan, person, with.provenance, session_of_day(with, as)))};
}

/// Reads the entries of one session.
class SessionReader {
  public:
    explicit SessionReader(RecordCache& cache) : cache_(cache) {}

    void read(const Entry& entry) {
        const std::string as = entry.as.value_or("");
        switch (entry.kind) {
            case EntryKind::SessionStart:
                if (auto body = read_presence(entry.body, cache_)) {
                    session_ = Session{.number = entry.session.value_or(0),
                                       .as = as,
                                       .start = *std::move(body),
                                       .begins = entry.from};
                }
                return;
            case EntryKind::Present:
                if (auto body = read_presence(entry.body, cache_)) present_[as] = *std::move(body);
                return;
            case EntryKind::Wear:
                if (auto body = read_wear(entry.body, cache_)) worn_[as] = body->worn;
                return;
            case EntryKind::RunStart:
                if (auto body = read_run(entry.body, cache_))
                    open_.push_back({entry.n, as, entry.from, *std::move(body)});
                if (entry.corrects) first_[entry.n] = *entry.corrects;
                return;
            case EntryKind::Run:
                return read_run_of(entry, as);
            case EntryKind::Event:
                if (const auto body = read_event(entry.body))
                    if (event_kinds[body->what].stops) ends_ = entry.from;
                return;
            case EntryKind::SessionEnd:
                ends_ = entry.from;
                return;
            default:
                return;
        }
    }

    [[nodiscard]] std::optional<Session> take() && {
        if (!session_) return std::nullopt;
        session_->present = std::move(present_);
        session_->worn = std::move(worn_);
        session_->ends = ends_;
        std::erase_if(open_, [&](const OpenRun& open) { return ends_ || is_over(open); });
        session_->open = std::move(open_);
        return std::move(session_);
    }

  private:
    void read_run_of(const Entry& entry, const std::string& as) {
        const auto body = read_run(entry.body, cache_);
        over_.push_back({as, entry.from, body ? body->started : std::nullopt});
    }

    /// Also what another run that began later tells of.
    [[nodiscard]] bool is_over(const OpenRun& open) const {
        const auto first = first_.find(open.entry);
        const auto is_of = [&](std::int64_t started) {
            return started == open.entry || (first != first_.end() && started == first->second);
        };
        const bool stated = std::ranges::any_of(over_, [&](const Over& over) {
            return over.as == open.as &&
                   ((over.started && is_of(*over.started)) || over.from >= open.from);
        });
        return stated || std::ranges::any_of(open_, [&](const OpenRun& other) {
                   return other.as == open.as && other.from > open.from;
               });
    }

    struct Over {
        std::string as;
        Instant from;
        std::optional<std::int64_t> started;
    };
    RecordCache& cache_;
    std::optional<Session> session_ = std::nullopt;
    std::map<std::string, PresenceBody> present_ = {};
    std::map<std::string, WornNow> worn_ = {};
    std::vector<OpenRun> open_ = {};
    std::vector<Over> over_ = {};
    std::map<std::int64_t, std::int64_t> first_ = {};  ///< numbers before correction
    std::optional<Instant> ends_ = std::nullopt;
};

}  // namespace

Person Session::person(const Plan& plan, const std::string& code) const {
    const auto other = present.find(code);
    const std::string& id = other == present.end() ? start.person : other->second.person;
    const auto found = std::ranges::find(plan.people, id, &Person::id);
    // Of a plan that was changed since: nobody, who has no criteria and wears nothing.
    Person person = found == plan.people.end() ? Person{.id = id} : *found;
    const auto what = worn.find(code);
    return what == worn.end() ? person : wearing_now(std::move(person), what->second);
}

std::optional<Session> session_of(std::span<const Entry> entries, RecordCache& cache) {
    SessionReader reader(cache);
    for (const Entry& one : entries)
        reader.read(one);
    return std::move(reader).take();
}

NewEntry entry_of_start(const Recording& with, const std::string& as, const Person& person,
                        const PlanRef& plan) {
    PresenceBody body = presence_of(with, as, person);
    body.plan = plan;
    return entry(with, EntryKind::SessionStart, as, text_of(body));
}

std::vector<NewEntry> entries_of_presence(const Recording& with, const std::string& as,
                                          const Person& person,
                                          const std::vector<std::string>& done_today) {
    std::vector<NewEntry> entries = {
        entry(with, EntryKind::Present, as, text_of(presence_of(with, as, person)))};
    auto tasks = records_of_tasks(with.plan, person, with.provenance);
    if (!tasks) {
        RunBody body{.sequence = person.id};
        body.why_unknown = earbudget::text_of(tasks.obstacle());
        entries.push_back(entry(with, EntryKind::Task, as, text_of(body)));
        return entries;
    }
    Instant at = with.at;
    for (const TaskRecord& task : *tasks) {
        const bool is_done = std::ranges::find(done_today, task.title) != done_today.end();
        if (task.once_a_day && is_done) continue;
        RunBody body{.sequence = task.title};
        body.exposure = std::make_shared<const ExposureRecord>(task.exposure);
        entries.push_back(entry(with, EntryKind::Task, as, text_of(body)));
        entries.back().from = at;
        entries.back().to = at = later_by(at, task.duration);
    }
    return entries;
}

NewEntry entry_of_wear(const Recording& with, const std::string& as, const Person& person,
                       const WornNow& worn) {
    const Person wearing = wearing_now(person, worn);
    return entry(with, EntryKind::Wear, as,
                 text_of(WearBody{worn, shared(record_of_rest(with.plan, wearing, with.provenance,
                                                              session_of_day(with, as)))}));
}

NewEntry entry_of_check(const Recording& with, const std::string& as, const CheckBody& check) {
    return entry(with, EntryKind::Check, as, text_of(check));
}

std::vector<NewEntry> entries_of_run_start(const Recording& with, const Session& session,
                                           std::size_t sequence, Seconds planned,
                                           const FileHash& card) {
    return entries_of(
        with, session, EntryKind::RunStart, sequence,
        {.sequence = with.plan.sequences[sequence].id, .card = card, .planned = planned}, with.at);
}

std::vector<NewEntry> entries_of_run(const Recording& with, const Session& session,
                                     std::size_t sequence, Seconds time, const FileHash& card) {
    return entries_of(with, session, EntryKind::Run, sequence,
                      {.sequence = with.plan.sequences[sequence].id, .card = card},
                      later_by(with.at, time));
}

std::vector<NewEntry> entries_of_run_stop(const Recording& with, const Session& session,
                                          std::optional<Seconds> after) {
    std::vector<NewEntry> entries;
    for (const OpenRun& open : session.open) {
        RunBody body = open.body;
        body.planned = std::nullopt;
        body.started = open.entry;
        entries.push_back(entry(with, EntryKind::Run, open.as, text_of(body)));
        entries.back().from = open.from;
        entries.back().to = after ? later_by(open.from, *after) : std::max(open.from, with.at);
    }
    return entries;
}

std::vector<NewEntry> entries_of_event(const Recording& with, const Session& session,
                                       const EventBody& event) {
    std::vector<NewEntry> entries;
    if (event_kinds[event.what].stops) entries = entries_of_run_stop(with, session);
    entries.push_back(entry(with, EntryKind::Event, session.as, text_of(event)));
    if (!event_kinds[event.what].stops) return entries;
    const auto ends = entries_of_end(with, session);
    entries.insert(entries.end(), ends.begin(), ends.end());
    return entries;
}

NewEntry entry_of_clearance(const Recording& with, const std::string& as, std::int64_t event) {
    return entry(with, EntryKind::Clearance, as, text_of_clearance(event));
}

std::vector<NewEntry> entries_of_end(const Recording& with, const Session& session) {
    std::vector<NewEntry> entries;
    for (const std::string& code : codes_of(session))
        entries.push_back(entry(with, EntryKind::SessionEnd, code, "{}"));
    return entries;
}

}  // namespace earbudget::sessions
