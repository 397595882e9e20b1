#include "records/session_next.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/study/catalogue.hpp"
#include "earbudget/study/input_error.hpp"
#include "report/sentences.hpp"

namespace earbudget::records {

namespace {

constexpr Seconds a_minute{60.0};

/// The runs that are asked about: those of the timeline, or the ones that are named.
std::vector<sessions::RunAsked> runs_asked(SessionPlan& plan, const Person& worn,
                                           const NextWanted& wanted,
                                           std::vector<SessionNote>& notes) {
    files::ErrorList errors;
    std::vector<std::size_t> which;
    for (const std::string& id : wanted.sequences)
        errors.attempt([&] { which.push_back(plan.sequence(id)); });
    for (const std::string& card : wanted.cards)
        errors.attempt([&] { which.push_back(plan.add_card(card)); });
    errors.throw_if_any();
    if (which.empty()) {
        auto runs = sessions::runs_of_plan(plan.plan(), worn, plan.provenance());
        for (sessions::RunAsked& run : runs)
            run.time = wanted.lasting.value_or(run.time);
        return runs;
    }
    std::vector<sessions::RunAsked> runs;
    for (const std::size_t sequence : which) {
        const auto planned = plan.planned_time(sequence);
        if (!planned && !wanted.lasting) {
            notes.push_back({SessionNoteCode::RunOfAMinute,
                             fmt::format("{} is not in the timeline, and how long a run lasts is "
                                         "not told: its runs count as 1 min each. Tell it: --for "
                                         "TIME.",
                                         plan.plan().sequences[sequence].id)});
        }
        const Seconds time = wanted.lasting ? *wanted.lasting : planned.value_or(a_minute);
        runs.push_back(
            sessions::run_of(plan.plan(), worn, sequence, time, plan.provenance(sequence)));
    }
    return runs;
}

}  // namespace

bool NextReport::is_well() const {
    if (next.stop || !metal.empty()) return false;
    const bool is_anything_heard = next.so_far && !next.so_far->criteria.empty();
    return !is_anything_heard || next.so_far->verdict == Verdict::Within ||
           next.so_far->verdict == Verdict::Close;
}

NextReport next_of(registers::Register& from, const SessionAsked& asked, const NextWanted& wanted,
                   const std::string& date, std::uint64_t seed) {
    const sessions::Calendar calendar = calendar_of(from);
    const Instant clock = now();
    SessionState state = session_to_answer(from, asked, calendar, clock);
    const std::string as = asked.as.value_or(state.session.as);
    if (asked.cleared_by) {
        SessionAsked told = asked;
        told.session = state.number();
        told.as = as;
        static_cast<void>(SessionRecorder(from, told, date).event(std::nullopt));
        state = state_of(from, state.number());
    }
    NextReport report{.file = file_of(from),
                      .record = {.date = date, .inputs = {}},
                      .session = state.number(),
                      .as = as,
                      .role = state.presence(as).role};
    SessionPlan plan = plan_of(state, asked, date, report.notes);
    plan.loaded.plan.draws.seed = seed;
    report.record.examples = plan.loaded.examples;
    const Instant at = asked.at ? asked.at->at : std::max(clock, state.last_begin(as));
    report.at = calendar.stated(at);
    const sessions::Session then = asked.at ? state.at(at) : state.session;
    const Person worn = then.person(plan.plan(), as);
    report.wears = short_names_of(plan.plan().catalogue, worn.wears) +
                   (worn.wears.empty() ? "" : report::how_worn(worn.wearing));
    const auto runs = runs_asked(plan, worn, wanted, report.notes);
    sessions::RecordCache cache;
    const auto entries = entries_for(from, calendar, as, at);
    sessions::Judge judge(calendar);
    report.next = sessions::next_runs(sessions::heard_by(entries, at, cache), runs, report.role,
                                      state.number(), at, judge);
    report.metal = metal_words(plan.plan(), worn);
    if (!report.metal.empty()) {
        report.notes.push_back(
            {SessionNoteCode::MetalNearMagnet,
             report.metal + ". Nothing is run until something else is told to be worn."});
        for (sessions::RunsLeft& left : report.next.sequences) {
            if (left.limiting == sessions::Limiting::Stopped) continue;
            left.runs = left.best_estimate = 0;
            left.limiting = sessions::Limiting::Metal;
            left.limited_by.clear();
        }
    }
    if (state.session.ends && at >= *state.session.ends) {
        report.notes.push_back(
            {SessionNoteCode::SessionEnded,
             fmt::format("Session {} ended at {}: what would fit is told as if it went on.",
                         state.number(), rfc3339(calendar.stated(*state.session.ends)))});
    }
    note_checks(state, worn, as, at, report.notes);
    note_state(state, entries, calendar, at, report.notes);
    note_others_stopped(from, state, calendar, at, report.notes);
    if (!asked.at) note_clock(state, calendar, clock, report.notes);
    return report;
}

}  // namespace earbudget::records
