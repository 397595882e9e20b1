#include "records/session_state.hpp"

#include <algorithm>
#include <iterator>
#include <set>

#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "records/register_file.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

using registers::Entry;
using registers::EntryKind;

std::string words_of_open(const SessionState& one) {
    const auto& entries = one.entries;
    const auto start = std::ranges::find(entries, EntryKind::SessionStart, &Entry::kind);
    return fmt::format(
        "--session {} ({} as {}, since {})", one.number(), one.session.as, one.session.start.person,
        rfc3339({one.session.begins, start == entries.end() ? 0 : start->offset_minutes}));
}

}  // namespace

std::vector<std::string> SessionState::codes() const {
    std::vector<std::string> codes = {session.as};
    for (const auto& [code, body] : session.present)
        codes.push_back(code);
    return codes;
}

void SessionState::require(const std::string& as, const char* option) const {
    const auto all = codes();
    if (std::ranges::find(all, as) != all.end()) return;
    throw InputError({option}, fmt::format("\"{}\" is nobody's code in session {}; accepted: {}",
                                           as, number(), report::joined(all, ", ")));
}

const sessions::PresenceBody& SessionState::presence(const std::string& as) const {
    const auto other = session.present.find(as);
    return other == session.present.end() ? session.start : other->second;
}

sessions::Session SessionState::at(Instant then) const {
    std::vector<Entry> before;
    std::ranges::copy_if(entries, std::back_inserter(before),
                         [&](const Entry& entry) { return entry.from <= then; });
    sessions::RecordCache cache;
    auto was = sessions::session_of(before, cache);
    return was ? *std::move(was) : session;
}

Instant SessionState::last_begin(const std::string& as) const {
    Instant last = session.begins;
    for (const Entry& entry : entries)
        if (entry.as == as && entry.kind != EntryKind::SessionEnd && entry.kind != EntryKind::Task)
            last = std::max(last, entry.from);
    return last;
}

Instant SessionState::last_end(const std::string& as) const {
    Instant last = last_begin(as);
    for (const Entry& entry : entries)
        if (entry.as == as && entry.kind == EntryKind::Run) last = std::max(last, entry.to);
    return last;
}

Instant SessionState::running_until(Instant now) const {
    Instant until = now;
    for (const sessions::OpenRun& run : session.open) {
        const auto told = std::ranges::find(entries, run.entry, &Entry::n);
        if (told == entries.end() || told->from <= told->recorded) continue;
        const std::int64_t passed = std::max<std::int64_t>(1, now.ms - told->recorded.ms);
        until = std::max(until, Instant{told->from.ms + passed});
    }
    return until;
}

SessionState state_of(const registers::Register& from, std::int64_t session) {
    sessions::RecordCache cache;
    std::vector<Entry> entries = from.of_session(session);
    auto found = sessions::session_of(entries, cache);
    if (found && found->start.plan) return {*std::move(found), std::move(entries)};
    const auto newest = from.newest_session();
    throw InputError({from.path()},
                     fmt::format("has no session {} that was started here; accepted: {}", session,
                                 newest ? fmt::format("the number of one, up to {}", *newest)
                                        : std::string("earbudget session start, which makes one")));
}

std::vector<SessionState> open_sessions(const registers::Register& from) {
    std::vector<SessionState> open;
    for (const std::int64_t number : from.perhaps_open_sessions()) {
        SessionState state = state_of(from, number);
        if (!state.session.ends) open.push_back(std::move(state));
    }
    return open;
}

void refuse_open_session(const registers::Register& from, const std::string& code,
                         std::string_view then) {
    const auto codes = from.codes_of(code);
    for (const SessionState& open : open_sessions(from)) {
        if (std::ranges::find(codes, open.session.as) == codes.end()) continue;
        throw InputError({from.path()},
                         fmt::format("session {} of {} has not ended; accepted: earbudget session "
                                     "end --session {}, then {}",
                                     open.number(), open.session.as, open.number(), then));
    }
}

SessionState session_asked(const registers::Register& from, std::optional<std::int64_t> session,
                           Ended ended) {
    if (session) return state_of(from, *session);
    std::vector<SessionState> open = open_sessions(from);
    if (open.size() == 1) return std::move(open.front());
    if (open.size() > 1) {
        throw InputError({from.path()},
                         fmt::format("has {} open sessions; accepted: {}", open.size(),
                                     report::joined(open, ", ", words_of_open)));
    }
    const auto newest = from.newest_session();
    if (newest && ended == Ended::Accepted) return state_of(from, *newest);
    throw InputError(
        {from.path()},
        fmt::format("has no open session; accepted: earbudget session start{}",
                    newest
                        ? fmt::format(", or --session N of one that has ended, as {} has", *newest)
                        : std::string()));
}

std::vector<Entry> entries_for(const registers::Register& from, const sessions::Calendar& calendar,
                               const std::string& code, Instant at) {
    const sessions::LocalDay day = calendar.day_of(at);
    constexpr int days = 8;  // of a week, and what began before it
    const sessions::Span span = calendar.span_of(day + -days, day + days);
    std::vector<Entry> all = from.of_person(code, span.from, span.to);
    std::set<std::int64_t> known;
    for (const Entry& entry : all)
        known.insert(entry.n);
    for (Entry& event : from.events_of(code))
        if (known.insert(event.n).second) all.push_back(std::move(event));
    return all;
}

}  // namespace earbudget::records
