// What is worn and checked, and what happens besides.
#include <algorithm>

#include <fmt/format.h>

#include "earbudget/study/catalogue.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/ids.hpp"
#include "records/session_recorder.hpp"
#include "report/words/words.hpp"

namespace earbudget::records {

using registers::Entry;
using registers::EntryKind;
using registers::NewEntry;

namespace {

void check_worn(const SessionPlan& plan, const WearTold& told) {
    files::ErrorList errors;
    const Catalogue& catalogue = plan.plan().catalogue;
    for (const std::string& id : told.wears) {
        if (catalogue.find(id)) continue;
        errors.add(InputError(
            {plan.path}, fmt::format("has no protector \"{}\"{}; accepted: {}, or --nothing", id,
                                     files::nearest_words(id, catalogue.ids()),
                                     fmt::join(catalogue.ids(), ", "))));
    }
    if (told.wears.empty() && (told.PAR || told.poor_fit || told.fraction_worn)) {
        errors.add(
            InputError({"--nothing"}, "is given with how it is worn; accepted: --nothing alone"));
    }
    errors.throw_if_any();
    const Message obstacle = cannot_be_worn_together(catalogue, told.wears);
    if (!obstacle.empty()) throw InputError({"PROTECTOR"}, "names " + text_of(obstacle));
}

/// As the person wears it in the plan, but where something else is told.
sessions::WornNow worn_now(const WearTold& told, const Person& person) {
    sessions::WornNow worn{.wears = told.wears, .wearing = {}, .PAR = told.PAR};
    if (told.wears.empty()) return worn;
    worn.wearing = {told.fraction_worn.value_or(person.wearing.fraction_of_time),
                    told.poor_fit || person.wearing.poor_fit};
    return worn;
}

/// A run is computed with what was worn when it began: who tells something else of that time would
/// be answered with levels that are not so.
void refuse_within_runs(const SessionState& state, const std::string& as, Instant at,
                        const sessions::Calendar& calendar) {
    for (const Entry& entry : state.entries) {
        if (entry.as != as) continue;
        const auto& open = state.session.open;
        const bool goes_on =
            std::ranges::find(open, entry.n, &sessions::OpenRun::entry) != open.end();
        if (goes_on) {
            throw InputError(
                {"session wear"},
                fmt::format("tells of a time in which a run goes on (entry {}), which was "
                            "computed with what was worn before; accepted: earbudget session run "
                            "--stop first, then what is worn from then on",
                            entry.n));
        }
        if (entry.kind != EntryKind::Run || entry.to <= at) continue;
        throw InputError(
            {"session wear"},
            fmt::format("tells of {}, and entry {} ran until {}, computed with what was worn "
                        "before; accepted: a time from then on, or first earbudget session "
                        "correct {} --never, and the run once more behind this",
                        rfc3339(calendar.stated(at)), entry.n, rfc3339(calendar.stated(entry.to)),
                        entry.n));
    }
}

}  // namespace

SessionDone SessionRecorder::wear(const WearTold& told) {
    return into_.in_one([&] {
        const SessionState state = asked_session(Ended::Refused);
        const std::string as = asked_.as.value_or(state.session.as);
        SessionDone done = this->done("wear", state.number(), state.session.as);
        const SessionPlan plan = plan_of(state, asked_, date_, done.notes);
        check_worn(plan, told);
        // Without a time it stands behind what ran.
        const Instant at = asked_.at ? asked_.at->at : std::max(now_, state.last_end(as));
        refuse_within_runs(state, as, at, calendar_);
        const Person& person = plan.person(state.presence(as).person);
        const sessions::Provenance from = plan.provenance();
        append(sessions::entry_of_wear(recording(plan, from, state.number(), at), as, person,
                                       worn_now(told, person)),
               done);
        for (const std::string& id : told.wears) {
            if (std::ranges::find(person.cannot_wear, id) == person.cannot_wear.end()) continue;
            done.notes.push_back({SessionNoteCode::CannotWear,
                                  fmt::format("By the plan {} does not fit {}: look whether it is "
                                              "seated.",
                                              id, person.id)});
        }
        Person worn = person;
        worn.wears = told.wears;
        if (const std::string metal = metal_words(plan.plan(), worn); !metal.empty()) {
            done.notes.push_back({SessionNoteCode::MetalNearMagnet,
                                  metal + ". Take it off before, and tell what is worn then."});
        }
        if (!told.wears.empty()) {
            done.notes.push_back({SessionNoteCode::EarsUnchecked,
                                  "Check both ears before the next run, and tell it: earbudget "
                                  "session checked both."});
        }
        finish(done);
        return done;
    });
}

SessionDone SessionRecorder::check(const sessions::CheckBody& told) {
    return into_.in_one([&] {
        const SessionState state = asked_session(Ended::Refused);
        const std::string as = asked_.as.value_or(state.session.as);
        SessionDone done = this->done("checked", state.number(), state.session.as);
        const Instant at = moment(state, as);
        const Plan none{.title = {}};
        const sessions::Provenance nothing;
        append(sessions::entry_of_check(
                   {none, nothing, state.number(), at, calendar_.offset_minutes(at), asked_.by}, as,
                   told),
               done);
        if (!told.seated) {
            done.notes.push_back(
                {SessionNoteCode::NotSeated,
                 "Not seated: put it in again, check once more, and tell it before the next run. "
                 "Where it stays so, tell session wear with --poor-fit: until then levels at the "
                 "ear count as well seated."});
        }
        finish(done);
        return done;
    });
}

SessionDone SessionRecorder::event(const std::optional<sessions::EventBody>& told) {
    return into_.in_one([&] {
        // Also after a session: ringing often comes later.
        const SessionState state = asked_session(Ended::Accepted);
        const std::string as = asked_.as.value_or(state.session.as);
        SessionDone done = this->done("event", state.number(), state.session.as);
        if (!told && !asked_.cleared_by) {
            throw InputError({"EVENT"},
                             fmt::format("is missing; accepted: {}, or --cleared-by CODE",
                                         fmt::join(sessions::event_kinds.names(), ", ")));
        }
        clear(as, state.number(), done);
        if (told) {
            const Instant at = moment(state, as);
            const Plan none{.title = {}};
            const sessions::Provenance nothing;
            std::vector<NewEntry> entries = sessions::entries_of_event(
                {none, nothing, state.number(), at, calendar_.offset_minutes(at), asked_.by},
                state.session, *told);
            // Of somebody else, or after the end, it is told alone.
            const bool is_alone = as != state.session.as || state.session.ends;
            if (is_alone) {
                std::erase_if(entries,
                              [](const NewEntry& one) { return one.kind != EntryKind::Event; });
            }
            for (NewEntry& one : entries)
                if (one.kind == EntryKind::Event) one.as = as;
            append(entries, done);
            if (sessions::event_kinds[told->what].stops && !is_alone) {
                done.notes.push_back(
                    {SessionNoteCode::SessionEnded,
                     fmt::format("Session {} has ended with this.", state.number())});
            }
            if (told->what == sessions::EventKind::PlugLoose) {
                done.notes.push_back(
                    {SessionNoteCode::EarsUnchecked,
                     "A plug that is loose protects little, and what runs until it is checked "
                     "again "
                     "counts as well seated: stop, put it in again, check both ears, and tell it. "
                     "Enter a run that it was loose in behind session wear with "
                     "--poor-fit."});
            }
        }
        finish(done);
        if (as != done.as) note_state(state, into_.events_of(as), calendar_, now_, done.notes);
        return done;
    });
}

}  // namespace earbudget::records
