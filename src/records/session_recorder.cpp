#include "records/session_recorder.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "records/entry_words.hpp"

namespace earbudget::records {

using registers::EntryKind;
using registers::NewEntry;

namespace {

/// The person of the plan, with the code by which the register knows them.
using Named = std::pair<const Person*, std::string>;

/// Who is to be there; what is wrong with it goes to the list.
std::vector<Named> people_of(const SessionBegin& begin, const SessionPlan& plan,
                             files::ErrorList& errors) {
    std::vector<Named> people;
    const auto add = [&](const std::string& id, const std::string& as, const char* option) {
        errors.attempt([&] {
            const Person& person = plan.person(id);
            const bool is_twice = std::ranges::any_of(
                people, [&](const Named& one) { return one.first == &person || one.second == as; });
            if (is_twice) {
                throw InputError({option}, fmt::format("\"{}={}\" names somebody who is there "
                                                       "already; accepted: each person and each "
                                                       "code once",
                                                       id, as));
            }
            if (!people.empty() && person.role == Role::Participant) {
                throw InputError({option}, fmt::format("\"{}\" is a participant, who has a "
                                                       "session of their own; accepted: staff and "
                                                       "accompanying persons",
                                                       id));
            }
            people.emplace_back(&person, as);
        });
    };
    add(begin.person, begin.as, "--person");
    for (const auto& [id, as] : begin.present)
        add(id, as, "--present");
    return people;
}

/// Tasks of a time of their own end where the session begins, as setting up does, so that they do
/// not lie beside its runs; where they would reach into the day before they begin with it (own
/// choice: when they were done is not told).
void lay_before(Instant begin, const sessions::Calendar& calendar, std::vector<NewEntry>& entries) {
    const std::int64_t all_ms = entries.back().to.ms - begin.ms;
    if (calendar.day_of({begin.ms - all_ms}) != calendar.day_of(begin)) return;
    for (NewEntry& entry : entries) {
        if (entry.kind != EntryKind::Task) continue;
        entry.from.ms -= all_ms;
        entry.to.ms -= all_ms;
        entry.offset_minutes = calendar.offset_minutes(entry.from);
    }
}

}  // namespace

SessionRecorder::SessionRecorder(registers::Register& into, SessionAsked asked, std::string date)
    : into_(into),
      asked_(std::move(asked)),
      date_(std::move(date)),
      calendar_(calendar_of(into)),
      now_(now()) {}

SessionDone SessionRecorder::done(std::string action, std::int64_t session, std::string as) const {
    return {.action = std::move(action),
            .file = {into_.path(), into_.settings(), {}},
            .record = {.date = date_, .inputs = {}},
            .session = session,
            .as = std::move(as)};
}

SessionState SessionRecorder::asked_session(Ended ended) const {
    files::ErrorList errors;
    check_asked(asked_, calendar_, now_, errors);
    std::optional<SessionState> state;
    errors.attempt([&] { state = session_asked(into_, asked_.session, ended); });
    if (state && asked_.at && asked_.at->at < state->session.begins) {
        errors.add(InputError(
            {"--at"},
            fmt::format("{} is before session {} began; accepted: from {} on", rfc3339(*asked_.at),
                        state->number(), rfc3339(calendar_.stated(state->session.begins)))));
    }
    const bool is_over = state && state->session.ends && ended == Ended::Refused &&
                         (!asked_.at || asked_.at->at > *state->session.ends);
    if (is_over) {
        errors.add(InputError(
            {into_.path()},
            fmt::format("session {} ended at {}; accepted: --at with a time within it, to enter "
                        "something later, or earbudget session start",
                        state->number(), rfc3339(calendar_.stated(*state->session.ends)))));
    }
    if (state && asked_.as) errors.attempt([&] { state->require(*asked_.as, "--as"); });
    errors.throw_if_any();
    return *std::move(state);
}

Instant SessionRecorder::moment(const SessionState& state, const std::string& as) const {
    return asked_.at ? asked_.at->at : std::max(state.running_until(now_), state.last_begin(as));
}

sessions::Recording SessionRecorder::recording(const SessionPlan& plan,
                                               const sessions::Provenance& from,
                                               std::int64_t session, Instant at) const {
    return {plan.plan(), from, session, at, calendar_.offset_minutes(at), asked_.by};
}

void SessionRecorder::append(const NewEntry& entry, SessionDone& done) {
    registers::Entry told;
    static_cast<NewEntry&>(told) = entry;
    told.n = into_.append(entry);
    EntryDone one{.n = told.n,
                  .kind = entry.kind,
                  .as = entry.as.value_or(""),
                  .from = calendar_.stated(entry.from),
                  .to = calendar_.stated(entry.to),
                  .what = words_of_entry(told, cache_)};
    const bool is_heard = entry.kind == EntryKind::Run || entry.kind == EntryKind::RunStart ||
                          entry.kind == EntryKind::Task;
    if (const auto run = is_heard ? sessions::read_run(entry.body, cache_) : std::nullopt) {
        one.levels = levels_of(run->exposure);
        if (!run->exposure) {
            done.notes.push_back(
                {SessionNoteCode::LevelUnknown,
                 fmt::format("How loud {} is for {} cannot be computed, so that no limit that is "
                             "not over can be decided: {}.",
                             run->sequence, one.as, run->why_unknown)});
        }
    }
    done.entries.push_back(std::move(one));
}

void SessionRecorder::append(const std::vector<NewEntry>& entries, SessionDone& done) {
    for (const NewEntry& entry : entries)
        append(entry, done);
}

void SessionRecorder::clear(const std::string& as, std::int64_t session, SessionDone& done) {
    if (!asked_.cleared_by) return;
    const auto own = into_.codes_of(as);
    if (*asked_.cleared_by == as || std::ranges::find(own, *asked_.cleared_by) != own.end()) {
        throw InputError(
            {"--cleared-by"},
            fmt::format("{} is a code of the person themselves, {}; accepted: the code "
                        "of whoever cleared it, who is somebody else",
                        *asked_.cleared_by, as));
    }
    const auto heard = sessions::heard_by(into_.events_of(as), now_, cache_);
    const Instant at = asked_.at ? asked_.at->at : now_;
    for (const sessions::HeardEvent& event : heard.events) {
        if (!event.stops_all()) continue;
        append({.kind = EntryKind::Clearance,
                .as = as,
                .by = asked_.cleared_by,
                .session = event.session > 0 ? event.session : session,
                .from = at,
                .to = at,
                .body = sessions::text_of_clearance(event.entry),
                .offset_minutes = calendar_.offset_minutes(at)},
               done);
        done.notes.push_back(
            {SessionNoteCode::Cleared,
             fmt::format("{} of entry {} is cleared by {}.", sessions::event_kinds[event.what].name,
                         event.entry, *asked_.cleared_by)});
    }
}

void SessionRecorder::finish(SessionDone& done) {
    const SessionState after = state_of(into_, done.session);
    note_state(after, into_.events_of(done.as), calendar_, now_, done.notes);
    note_others_stopped(into_, after, calendar_, now_, done.notes);
    if (!asked_.at) note_clock(after, calendar_, earbudget::now(), done.notes);
    done.file.head = into_.head();
}

void SessionRecorder::add_others(const SessionBegin& begin, const SessionPlan& plan, Instant at,
                                 SessionDone& done) {
    const sessions::Span day = calendar_.span_of(calendar_.day_of(at));
    const sessions::Provenance from = plan.provenance();
    std::vector<std::pair<std::string, std::string>> all = begin.present;
    all.emplace(all.begin(), begin.person, begin.as);
    for (const auto& [id, as] : all) {
        const Person& person = plan.person(id);
        const auto heard = sessions::heard_by(into_.of_person(as, day.from, day.to), at, cache_);
        std::vector<std::string> done_today;
        for (const Task& task : person.tasks)
            if (sessions::is_recorded(heard.parts, task.title, day))
                done_today.push_back(task.title);
        auto entries = sessions::entries_of_presence(recording(plan, from, done.session, at), as,
                                                     person, done_today);
        lay_before(at, calendar_, entries);
        // Whose session it is has begun it, and has no more than tasks of a time of their own.
        if (as == begin.as) entries.erase(entries.begin());
        append(entries, done);
    }
}

SessionDone SessionRecorder::start(const SessionBegin& begin) {
    files::ErrorList errors;
    check_asked(asked_, calendar_, now_, errors);
    std::optional<SessionPlan> plan;
    errors.attempt([&] { plan = read_session_plan(begin.plan, date_); });
    if (plan) static_cast<void>(people_of(begin, *plan, errors));
    const auto zone = plan ? plan->time_zone() : std::nullopt;
    if (zone && zone->value != calendar_.time_zone()) {
        errors.add(InputError(zone->position,
                              fmt::format("time_zone is \"{}\", and days of {} are counted by "
                                          "\"{}\"; accepted: a register of the site's own zone",
                                          zone->value, into_.path(), calendar_.time_zone())));
    }
    errors.throw_if_any();
    return into_.in_one([&] {
        refuse_open_session(into_, begin.as, "another");
        SessionDone done = this->done("start", into_.next_session(), begin.as);
        const Instant at = asked_.at ? asked_.at->at : now_;
        const sessions::Provenance from = plan->provenance();
        append(sessions::entry_of_start(recording(*plan, from, done.session, at), begin.as,
                                        plan->person(begin.person), plan->ref),
               done);
        add_others(begin, *plan, at, done);
        clear(begin.as, done.session, done);
        finish(done);
        return done;
    });
}

SessionDone SessionRecorder::end() {
    return into_.in_one([&] {
        const SessionState state = asked_session(Ended::Refused);
        SessionDone done = this->done("end", state.number(), state.session.as);
        const Instant at =
            asked_.at ? asked_.at->at
                      : std::max(state.running_until(now_), state.last_end(state.session.as));
        const Plan none{.title = {}};
        const sessions::Provenance nothing;
        append(sessions::entries_of_end(
                   {none, nothing, state.number(), at, calendar_.offset_minutes(at), asked_.by},
                   state.session),
               done);
        clear(state.session.as, state.number(), done);
        finish(done);
        return done;
    });
}

}  // namespace earbudget::records
