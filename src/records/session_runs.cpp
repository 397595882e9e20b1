#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/study/input_error.hpp"
#include "records/entry_words.hpp"
#include "records/session_recorder.hpp"

namespace earbudget::records {

using registers::Entry;
using registers::EntryKind;

namespace {

Instant after_time(Instant from, Seconds time) {
    return {from.ms + std::llround(time.count() * 1000.0)};
}

/// What is meant perhaps: the last run, whose time was told with it.
std::string or_correct_last(const SessionState& state) {
    const Entry* last = nullptr;
    for (const Entry& entry : state.entries)
        if (entry.kind == EntryKind::Run && entry.as == state.session.as) last = &entry;
    return last ? fmt::format(
                      "; how long entry {} ran is told already: where that was not so, "
                      "earbudget session correct {} --for TIME --why TEXT",
                      last->n, last->n)
                : std::string();
}

void check_told(const RunTold& told, bool goes_on, const SessionState& state) {
    files::ErrorList errors;
    const bool is_named = told.sequence || told.card;
    if (told.stop && (told.lasting || told.stopped || is_named)) {
        errors.add(InputError({"--stop"},
                              "is given with more; accepted: --stop alone: the run "
                              "that goes on is over"));
    }
    if (told.lasting && told.stopped && *told.stopped > *told.lasting) {
        errors.add(InputError({"--stopped"},
                              fmt::format("{} is longer than --for {}; accepted: at most that",
                                          text_of(*told.stopped), text_of(*told.lasting))));
    }
    const bool is_of_open = !is_named && (told.stop || (told.stopped && !told.lasting));
    if (!is_named && !is_of_open) {
        errors.add(InputError({"SEQUENCE"},
                              "is missing; accepted: the id of a sequence, --card FILE of one that "
                              "is not in the plan, or --stop or --stopped TIME alone"));
    }
    if (is_of_open && !goes_on) {
        errors.add(InputError({"SEQUENCE"},
                              "is missing, and no run goes on; accepted: the id of a "
                              "sequence" +
                                  or_correct_last(state)));
    }
    errors.throw_if_any();
}

void check_within(const SessionState& state, Instant to, const sessions::Calendar& calendar) {
    if (!state.session.ends || to <= *state.session.ends) return;
    throw InputError({"--at"},
                     fmt::format("the run would end at {}, after session {} has, at {}; accepted: "
                                 "a run within the session",
                                 rfc3339(calendar.stated(to)), state.number(),
                                 rfc3339(calendar.stated(*state.session.ends))));
}

/// The sequence that is told of, of the plan or of a card that is added.
std::size_t sequence_of(const RunTold& told, SessionPlan& plan) {
    if (!told.card) return plan.sequence(*told.sequence);
    const std::size_t added = plan.add_card(*told.card);
    if (told.sequence && plan.plan().sequences[added].id != *told.sequence) {
        throw InputError({*told.card},
                         fmt::format("is the card of \"{}\", and SEQUENCE is \"{}\"; "
                                     "accepted: one of them alone",
                                     plan.plan().sequences[added].id, *told.sequence));
    }
    return added;
}

}  // namespace

void SessionRecorder::stop_run(const SessionState& state, const RunTold& told, SessionDone& done) {
    const sessions::Session then = asked_.at ? state.at(asked_.at->at) : state.session;
    if (then.open.empty())
        throw InputError({"--at"}, "is a time at which no run went on; accepted: one of a run");
    const Instant from = then.open.front().from;
    const Instant at = asked_.at ? asked_.at->at : std::max(state.running_until(now_), from);
    if (told.stopped) {
        const Instant to = after_time(from, *told.stopped);
        check_within(state, to, calendar_);
        refuse_beyond_now(state.number(), from, to, state.running_until(now_), calendar_);
    }
    const Plan none{.title = {}};
    const sessions::Provenance nothing;
    append(sessions::entries_of_run_stop(
               {none, nothing, state.number(), at, calendar_.offset_minutes(from), asked_.by}, then,
               told.stopped),
           done);
}

void SessionRecorder::add_run(const SessionState& state, const RunTold& told, SessionDone& done) {
    SessionPlan plan = plan_of(state, asked_, date_, done.notes);
    const std::size_t sequence = sequence_of(told, plan);
    const auto lasted = told.stopped ? told.stopped : told.lasting;
    const Instant last = state.last_end(state.session.as);
    // What was stopped is past; anything else begins now.
    const Instant begin =
        told.stopped ? after_time(now_, -*told.stopped) : state.running_until(now_);
    const Instant at = asked_.at ? asked_.at->at : std::max(begin, last);
    constexpr std::int64_t soon_ms = 1'000;
    if (!asked_.at && at.ms > begin.ms + soon_ms) {
        done.notes.push_back(
            {SessionNoteCode::BeginsLater,
             fmt::format("What was told before lasts until {}, so that this run counts from then "
                         "on. Where that one was broken off: session correct ENTRY --for TIME "
                         "--why TEXT.",
                         rfc3339(calendar_.stated(last)))});
    }
    if (lasted) check_within(state, after_time(at, *lasted), calendar_);
    if (told.stopped)
        refuse_beyond_now(state.number(), at, after_time(at, *lasted), now_, calendar_);
    const sessions::Session then = asked_.at ? state.at(at) : state.session;
    const sessions::Provenance from = plan.provenance(sequence);
    const sessions::Recording with = recording(plan, from, state.number(), at);
    const sessions::FileHash card = plan.card(sequence);
    append(lasted ? sessions::entries_of_run(with, then, sequence, *lasted, card)
                  : sessions::entries_of_run_start(
                        with, then, sequence, plan.planned_time(sequence).value_or(Seconds(0.0)),
                        card),
           done);
    note_checks(state, then.person(plan.plan(), then.as), then.as, at, done.notes);
}

SessionDone SessionRecorder::run(const RunTold& told) {
    return into_.in_one([&] {
        const SessionState state = asked_session(Ended::Refused);
        const sessions::Session then = asked_.at ? state.at(asked_.at->at) : state.session;
        check_told(told, !then.open.empty(), state);
        SessionDone done = this->done("run", state.number(), state.session.as);
        clear(state.session.as, state.number(), done);
        const bool is_of_open =
            !then.open.empty() && !told.card &&
            (told.stop || !told.sequence ||
             (told.stopped && then.open.front().body.sequence == *told.sequence));
        if (is_of_open) {
            stop_run(state, told, done);
        } else {
            add_run(state, told, done);
        }
        finish(done);
        return done;
    });
}

void SessionRecorder::add_correction(const Entry& entry, const CorrectionTold& told,
                                     SessionDone& done) {
    nlohmann::ordered_json head = {{"why", told.why}, {"kind", nullptr}};
    std::string rest = "{}";
    Instant to = entry.to;
    std::string what = fmt::format("entry {} never was: {}", entry.n, told.why);
    if (told.lasting) {
        auto body = sessions::read_run(entry.body, cache_);
        if (!body) {
            throw InputError({into_.path()},
                             fmt::format("entry {} cannot be read; accepted: --never", entry.n));
        }
        const bool has_begun = entry.kind == EntryKind::RunStart;
        body->unconfirmed = false;
        if (has_begun) body->started = entry.n;
        rest = sessions::text_of(*body);
        to = after_time(entry.from, *told.lasting);
        refuse_beyond_now(entry.session.value_or(0), entry.from, to, now_, calendar_);
        head["kind"] = registers::entry_kinds[has_begun ? EntryKind::Run : entry.kind].name;
        what = fmt::format("in the place of entry {}: {}, {}, {}: {}", entry.n, body->sequence,
                           text_of(*told.lasting), level_words(body->exposure), told.why);
    }
    std::string text = head.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
    // The rest goes on as it is, so that an exposure stays the last of it, word for word.
    if (rest.size() > 2) text.replace(text.size() - 1, 1, "," + rest.substr(1));
    const std::int64_t n = into_.append({.kind = EntryKind::Correction,
                                         .as = entry.as,
                                         .by = asked_.by,
                                         .session = entry.session,
                                         .from = entry.from,
                                         .to = to,
                                         .corrects = entry.n,
                                         .body = std::move(text),
                                         .offset_minutes = entry.offset_minutes});
    done.entries.push_back({n, EntryKind::Correction, entry.as.value_or(""),
                            calendar_.stated(entry.from), calendar_.stated(to), std::move(what)});
}

namespace {

/// What ran was computed with what was worn: that is taken back first.
void refuse_computed_with(const SessionState& state, const Entry& wear, const std::string& path) {
    std::vector<std::string> runs;
    for (const Entry& entry : state.entries) {
        const bool is_run = entry.kind == EntryKind::Run || entry.kind == EntryKind::RunStart;
        if (is_run && entry.as == wear.as && entry.from >= wear.from)
            runs.push_back(fmt::format("{}", entry.n));
    }
    if (runs.empty()) return;
    throw InputError(
        {path}, fmt::format("entry {} says what was worn while {} {} ran, which {} computed "
                            "with it; accepted: first earbudget session correct {} --never, "
                            "then this, and the runs once more",
                            wear.n, runs.size() == 1 ? "entry" : "entries", fmt::join(runs, ", "),
                            runs.size() == 1 ? "was" : "were", runs.front()));
}

}  // namespace

SessionDone SessionRecorder::correct(const CorrectionTold& told) {
    return into_.in_one([&] {
        files::ErrorList errors;
        check_asked(asked_, calendar_, now_, errors);
        errors.throw_if_any();
        const auto history = into_.history(told.entry);
        if (history.empty() || !history.back().session || history.back().n != told.entry) {
            const bool is_corrected = !history.empty() && history.back().n != told.entry;
            throw InputError(
                {into_.path()},
                is_corrected
                    ? fmt::format("entry {} was corrected already; accepted: {}, which stands in "
                                  "its place",
                                  told.entry, history.back().n)
                    : fmt::format("has no entry {} of a session; accepted: a number that session "
                                  "show tells",
                                  told.entry));
        }
        const SessionState state = state_of(into_, *history.back().session);
        const auto found = std::ranges::find(state.entries, told.entry, &Entry::n);
        const auto is_kind = [&](std::initializer_list<EntryKind> kinds) {
            return found != state.entries.end() &&
                   std::ranges::find(kinds, found->kind) != kinds.end();
        };
        const bool is_run = is_kind({EntryKind::Run, EntryKind::RunStart});
        const bool is_heard = is_run || is_kind({EntryKind::Task});
        const bool is_presence = is_kind({EntryKind::SessionStart, EntryKind::Present});
        if (found == state.entries.end() || is_presence || (told.lasting && !is_heard)) {
            throw InputError({into_.path()},
                             fmt::format("entry {} cannot be corrected so; accepted: --for TIME of "
                                         "a run or a task, --never of what did not happen, but "
                                         "that somebody was there",
                                         told.entry));
        }
        const auto event =
            found->kind == EntryKind::Event ? sessions::read_event(found->body) : std::nullopt;
        if (event && sessions::event_kinds[event->what].stops && !asked_.by) {
            throw InputError({"--by"},
                             fmt::format("is missing, and entry {} stops everything; accepted: the "
                                         "code of who takes it back",
                                         told.entry));
        }
        if (found->kind == EntryKind::Wear) refuse_computed_with(state, *found, into_.path());
        SessionDone done = this->done("correct", state.number(), state.session.as);
        for (const Entry& entry : state.entries) {
            // The same run as everybody there heard it.
            const bool is_same = is_run && entry.kind == found->kind && entry.from == found->from &&
                                 entry.to == found->to;
            if (entry.n == told.entry || is_same) add_correction(entry, told, done);
        }
        finish(done);
        return done;
    });
}

}  // namespace earbudget::records
