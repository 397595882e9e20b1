// What must be known of a session besides what is recorded.
#include <algorithm>
#include <cmath>
#include <filesystem>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/study/catalogue.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/ids.hpp"
#include "records/session_recorder.hpp"
#include "report/cautions.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::records {

using registers::Entry;
using registers::EntryKind;

namespace {

constexpr std::int64_t clocks_differ_ms = 60'000;  // at most (own choice)
constexpr std::int64_t a_second_ms = 1'000;

void check_code(const std::optional<std::string>& code, const char* option,
                files::ErrorList& errors) {
    const auto why = code ? files::why_no_id(*code) : std::nullopt;
    if (!why) return;
    errors.add(InputError(
        {option}, fmt::format("is \"{}\"{}; accepted: {}", *code, *why, files::accepted_ids)));
}

void note_open_runs(const SessionState& state, const sessions::HeardByPerson& heard,
                    const sessions::Calendar& calendar, std::vector<SessionNote>& notes) {
    const auto& open = state.session.open;
    for (const sessions::Heard& part : heard.parts) {
        if (!part.unconfirmed) continue;
        const bool goes_on =
            std::ranges::find(open, part.entry, &sessions::OpenRun::entry) != open.end();
        const std::string how =
            goes_on ? std::string(
                          "session run --stop when it is over, or session run --stopped "
                          "TIME")
                    : fmt::format("session correct {} --for TIME --why TEXT", part.entry);
        notes.push_back(
            {SessionNoteCode::Unconfirmed,
             fmt::format("{} began at {} (entry {}), and when it ended was not told: it counts "
                         "until {}, unconfirmed. How long did it run? Tell it: earbudget {}.",
                         part.name, rfc3339(calendar.stated(part.when.from)), part.entry,
                         rfc3339(calendar.stated(part.when.to)), how)});
    }
}

}  // namespace

EarsSeated ears_at(const SessionState& state, const std::string& as, Instant at) {
    EarsSeated seated;
    for (const Entry& entry : state.entries) {
        if (entry.from > at || entry.as != as) continue;
        const auto event =
            entry.kind == EntryKind::Event ? sessions::read_event(entry.body) : std::nullopt;
        if (entry.kind == EntryKind::Wear ||
            (event && event->what == sessions::EventKind::PlugLoose))
            seated = {};
        const auto check =
            entry.kind == EntryKind::Check ? sessions::read_check(entry.body) : std::nullopt;
        if (!check) continue;
        if (check->ear != sessions::EarChecked::Right) seated.left = check->seated;
        if (check->ear != sessions::EarChecked::Left) seated.right = check->seated;
    }
    return seated;
}

void check_asked(const SessionAsked& asked, const sessions::Calendar& calendar, Instant now,
                 files::ErrorList& errors) {
    if (asked.at && asked.at->at.ms > now.ms + clocks_differ_ms) {
        errors.add(
            InputError({"--at"}, fmt::format("{} is in the future, now is {}; accepted: a "
                                             "time until now",
                                             rfc3339(*asked.at), rfc3339(calendar.stated(now)))));
    }
    check_code(asked.by, "--by", errors);
    check_code(asked.cleared_by, "--cleared-by", errors);
}

SessionState session_to_answer(const registers::Register& from, const SessionAsked& asked,
                               const sessions::Calendar& calendar, Instant now) {
    files::ErrorList errors;
    check_asked(asked, calendar, now, errors);
    std::optional<SessionState> state;
    errors.attempt([&] { state = session_asked(from, asked.session, Ended::Accepted); });
    if (state && asked.as) errors.attempt([&] { state->require(*asked.as, "--as"); });
    errors.throw_if_any();
    return *std::move(state);
}

SessionPlan plan_of(const SessionState& state, const SessionAsked& asked, const std::string& date,
                    std::vector<SessionNote>& notes) {
    const sessions::PlanRef& ref = *state.session.start.plan;
    const std::string path = asked.plan.value_or(ref.file);
    std::error_code ignored;
    if (!asked.plan && !std::filesystem::exists(path, ignored)) {
        throw InputError({path}, fmt::format("the plan of session {} is not there any more; "
                                             "accepted: --plan FILE, where it lies now",
                                             state.number()));
    }
    SessionPlan plan = read_session_plan(path, date);
    for (const std::string& as : state.codes())
        static_cast<void>(plan.person(state.presence(as).person));
    if (plan.ref.sha256 != ref.sha256 || plan.ref.data != ref.data) {
        notes.push_back(
            {SessionNoteCode::PlanChanged,
             fmt::format("{} or a file of it was changed since session {} began: what is computed "
                         "now is by the files as they are now, what was recorded before stays as "
                         "it was computed then.",
                         path, state.number())});
    }
    return plan;
}

void note_state(const SessionState& state, const std::vector<Entry>& of_person,
                const sessions::Calendar& calendar, Instant at, std::vector<SessionNote>& notes) {
    sessions::RecordCache cache;
    std::vector<Entry> own;
    for (const Entry& entry : state.entries)
        if (entry.as == state.session.as) own.push_back(entry);
    note_open_runs(state, sessions::heard_by(own, at, cache), calendar, notes);
    note_stop(of_person, "", calendar, at, notes);
}

void note_stop(const std::vector<Entry>& of_person, const std::string& as,
               const sessions::Calendar& calendar, Instant at, std::vector<SessionNote>& notes) {
    sessions::RecordCache cache;
    const auto events = sessions::heard_by(of_person, at, cache);
    const sessions::HeardEvent* stop = events.stop();
    if (!stop) return;
    notes.push_back(
        {SessionNoteCode::Stopped,
         fmt::format(
             "{}{} at {} (entry {}): nothing more is run. {} session next answers 0 until "
             "somebody is named who cleared it: session event --cleared-by CODE.",
             as.empty() ? "" : as + ", who is there too: ", sessions::event_kinds[stop->what].name,
             rfc3339(calendar.stated(stop->at)), stop->entry, report::cautions.back())});
}

void note_others_stopped(const registers::Register& from, const SessionState& state,
                         const sessions::Calendar& calendar, Instant at,
                         std::vector<SessionNote>& notes) {
    for (const std::string& as : state.codes())
        if (as != state.session.as) note_stop(from.events_of(as), as, calendar, at, notes);
}

void note_clock(const SessionState& state, const sessions::Calendar& calendar, Instant now,
                std::vector<SessionNote>& notes) {
    const auto later = std::ranges::max_element(state.entries, {}, &Entry::recorded);
    if (later == state.entries.end() || later->recorded.ms <= now.ms + a_second_ms) return;
    notes.push_back(
        {SessionNoteCode::ClockSetBack,
         fmt::format("The clock says {}, and entry {} was recorded at {}: it was set back since. "
                     "What is told without --at stands behind what was told before.",
                     rfc3339(calendar.stated(now)), later->n,
                     rfc3339(calendar.stated(later->recorded)))});
}

void refuse_beyond_now(std::int64_t session, Instant since, Instant to, Instant now,
                       const sessions::Calendar& calendar) {
    if (to.ms <= now.ms + clocks_differ_ms) return;
    const double passed = std::floor(static_cast<double>(now.ms - since.ms) / 1000.0);
    const std::string begin = rfc3339(calendar.stated(since));
    throw InputError(
        {fmt::format("session {}", session)},
        fmt::format(
            "the run would end at {}, which is still to come: {} passed since {}; accepted: "
            "Start (earbudget session run SEQUENCE) where it begins now, else how long it "
            "ran, no more than that",
            rfc3339(calendar.stated(to)),
            passed < 1.0 ? std::string("no time has")
                         : fmt::format("only {} have", text_of(Seconds(passed))),
            begin));
}

std::string metal_words(const Plan& plan, const Person& worn) {
    std::vector<std::string> why;
    for (const std::string& id : worn.wears) {
        const CatalogueEntry* const entry = plan.catalogue.find(id);
        const auto forbids = entry ? metal_forbids(plan, worn, entry->protector) : std::nullopt;
        if (forbids) why.push_back(text_of(*forbids));
    }
    return report::joined(why, "; ");
}

void note_checks(const SessionState& state, const Person& worn, const std::string& as, Instant at,
                 std::vector<SessionNote>& notes) {
    if (!state.session.worn.contains(as)) {
        notes.push_back(
            {SessionNoteCode::WearNotStated,
             fmt::format("What {} wears was not told and counts as the plan has it: "
                         "{}. Tell it: earbudget session wear.",
                         as,
                         worn.wears.empty() ? "nothing" : report::joined(worn.wears, " and "))});
    }
    if (worn.wears.empty()) return;
    const EarsSeated seated = ears_at(state, as, at);
    if (seated.left && seated.right) return;
    notes.push_back({SessionNoteCode::EarsUnchecked,
                     fmt::format("{} not told to be checked and seated: protection works only as "
                                 "fitted. Check, and tell it: earbudget session checked both.",
                                 seated.left    ? "The right ear is"
                                 : seated.right ? "The left ear is"
                                                : "Both ears are")});
}

}  // namespace earbudget::records
