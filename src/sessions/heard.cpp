#include "sessions/heard.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <tuple>
#include <utility>

namespace earbudget::sessions {

namespace {

using registers::Entry;
using registers::EntryKind;

/// A run that has begun.
struct Begun {
    Entry entry;
    RunBody body;
};

/// What a session's entries about one person say besides runs.
struct Presence {
    std::optional<Role> role = std::nullopt;
    std::optional<Instant> begins = std::nullopt, ends = std::nullopt;
    /// What is heard between runs, from when on.
    std::map<Instant, SharedRecord> rests = {};
    std::map<Instant, std::int64_t> insertions = {};
    std::vector<Instant> statements = {};  ///< after which no run before them goes on
};

Instant later(Instant at, Seconds time) {
    return {at.ms + static_cast<std::int64_t>(time.count() * 1000.0 + 0.5)};
}

/// Reads entries one by one, then puts sessions together.
class Reader {
  public:
    Reader(Instant now, RecordCache& cache) : now_(now), cache_(cache) {}

    void read(const Entry& entry) {
        switch (entry.kind) {
            case EntryKind::SessionStart:
            case EntryKind::Present:
                return read_presence_of(entry);
            case EntryKind::Wear:
                return read_wear_of(entry);
            case EntryKind::RunStart:
            case EntryKind::Run:
            case EntryKind::Task:
                return read_run_of(entry);
            case EntryKind::Event:
                return read_event_of(entry);
            case EntryKind::Clearance:
                if (const auto event = read_clearance(entry.body)) cleared_[*event] = entry.n;
                return;
            case EntryKind::SessionEnd:
                session(entry).ends = entry.from;
                session(entry).statements.push_back(entry.from);
                return;
            default:
                return;
        }
    }

    [[nodiscard]] HeardByPerson take() && {
        for (const Begun& one : begun_)
            if (!is_over(one)) add_open(one);
        std::ranges::sort(heard_.parts, {}, order);
        for (Heard& part : heard_.parts) {
            part.insertion = insertion_of(part);
            part.role = part.exposure ? part.exposure->role : sessions_[part.session].role;
        }
        add_rests();
        std::ranges::sort(heard_.parts, {}, order);
        for (HeardEvent& event : heard_.events) {
            auto by = cleared_.find(event.entry);
            // By the number that it had before it was corrected.
            const auto first = corrected_.find(event.entry);
            if (by == cleared_.end() && first != corrected_.end())
                by = cleared_.find(first->second);
            if (by != cleared_.end()) event.cleared = by->second;
        }
        std::ranges::sort(heard_.events, {},
                          [](const HeardEvent& event) { return std::pair(event.at, event.entry); });
        return std::move(heard_);
    }

  private:
    static std::tuple<Instant, Instant, std::int64_t> order(const Heard& part) {
        return {part.when.from, part.when.to, part.entry};
    }

    Presence& session(const Entry& entry) { return sessions_[entry.session.value_or(0)]; }

    void read_presence_of(const Entry& entry) {
        const auto body = read_presence(entry.body, cache_);
        if (!body) return heard_.damaged.push_back(entry.n);
        Presence& presence = session(entry);
        if (!presence.begins || entry.from < *presence.begins) presence.begins = entry.from;
        if (!entry.session) return;
        presence.role = body->role;
        presence.rests[entry.from] = body->rest;
    }

    void read_wear_of(const Entry& entry) {
        const auto body = read_wear(entry.body, cache_);
        if (!body) return heard_.damaged.push_back(entry.n);
        session(entry).insertions[entry.from] = entry.n;
        if (entry.session) session(entry).rests[entry.from] = body->rest;
    }

    void read_run_of(const Entry& entry) {
        auto body = read_run(entry.body, cache_);
        if (!body) {
            heard_.damaged.push_back(entry.n);
            body = RunBody{.sequence = {}, .why_unknown = "damaged"};
        }
        if (entry.kind != EntryKind::Task) session(entry).statements.push_back(entry.from);
        if (entry.kind == EntryKind::RunStart) {
            begun_.push_back({entry, *std::move(body)});
            return;
        }
        if (entry.kind == EntryKind::Run) over_.emplace_back(entry, body->started);
        add(entry, *body, {entry.from, entry.to}, body->unconfirmed);
    }

    void read_event_of(const Entry& entry) {
        const auto body = read_event(entry.body);
        if (!body) return heard_.damaged.push_back(entry.n);
        if (entry.corrects) corrected_[entry.n] = *entry.corrects;
        heard_.events.push_back(
            {entry.n, entry.session.value_or(0), entry.from, body->what, body->note});
        if (event_kinds[body->what].stops) session(entry).statements.push_back(entry.from);
    }

    void add(const Entry& entry, const RunBody& body, Span when, bool unconfirmed) {
        heard_.parts.push_back(
            {.kind = entry.kind == EntryKind::Task ? HeardKind::Task : HeardKind::Run,
             .when = when,
             .entry = entry.n,
             .session = entry.session.value_or(0),
             .name = body.sequence,
             .unconfirmed = unconfirmed,
             .exposure = body.exposure,
             .why_unknown = body.why_unknown});
    }

    /// Whether an entry tells of its end, also where its beginning was corrected since.
    [[nodiscard]] bool is_over(const Begun& one) const {
        return std::ranges::any_of(over_, [&](const auto& end) {
            const auto& [run, started] = end;
            return run.session == one.entry.session &&
                   (started == one.entry.n || (started && started == one.entry.corrects) ||
                    run.from == one.entry.from);
        });
    }

    void add_open(const Begun& one) {
        const Instant from = one.entry.from;
        std::optional<Instant> stated;
        for (const Instant at : session(one.entry).statements)
            if (at > from && (!stated || at < *stated)) stated = at;
        const Instant planned = later(from, one.body.planned.value_or(Seconds(0.0)));
        add(one.entry, one.body, {from, stated.value_or(std::max(planned, now_))}, true);
    }

    [[nodiscard]] std::int64_t insertion_of(const Heard& part) {
        const auto& all = sessions_[part.session].insertions;
        const auto after = all.upper_bound(part.when.from);
        return after == all.begin() ? 0 : std::prev(after)->second;
    }

    void add_rests() {
        std::map<std::int64_t, std::vector<Span>> heard;
        for (const Heard& part : heard_.parts)
            heard[part.session].push_back(part.when);
        for (const auto& [number, presence] : sessions_) {
            if (presence.begins && presence.rests.size() > 0)
                add_rests(number, presence, heard[number]);
        }
    }

    /// `heard` in order of beginnings.
    void add_rests(std::int64_t number, const Presence& presence, const std::vector<Span>& heard) {
        Instant last = *presence.begins;
        for (const Span& part : heard)
            last = std::max(last, part.to);
        const Instant end = presence.ends.value_or(last);
        Instant at = *presence.begins;
        for (const Span& part : heard) {
            add_rest(number, presence, {at, std::min(part.from, end)});
            at = std::max(at, part.to);
        }
        add_rest(number, presence, {at, end});
    }

    /// One gap, by what is worn in each part of it.
    void add_rest(std::int64_t number, const Presence& presence, const Span& gap) {
        for (auto rest = presence.rests.begin(); rest != presence.rests.end(); ++rest) {
            const auto next = std::next(rest);
            const Span when =
                gap.within({rest->first, next == presence.rests.end() ? gap.to : next->first});
            if (when.empty() || !rest->second || rest->second->day.rows.empty()) continue;
            heard_.parts.push_back({.kind = HeardKind::Rest,
                                    .when = when,
                                    .session = number,
                                    .role = rest->second->role,
                                    .exposure = rest->second});
            heard_.parts.back().insertion = insertion_of(heard_.parts.back());
        }
    }

    Instant now_;
    RecordCache& cache_;
    HeardByPerson heard_ = {};
    std::map<std::int64_t, Presence> sessions_ = {};
    std::vector<Begun> begun_ = {};
    std::vector<std::pair<Entry, std::optional<std::int64_t>>> over_ = {};
    std::map<std::int64_t, std::int64_t> cleared_ = {};    ///< by event
    std::map<std::int64_t, std::int64_t> corrected_ = {};  ///< by the event as it stands now
};

}  // namespace

const HeardEvent* HeardByPerson::stop() const {
    const HeardEvent* last = nullptr;
    for (const HeardEvent& event : events)
        if (event.stops_all()) last = &event;
    return last;
}

HeardByPerson heard_by(std::span<const Entry> entries, Instant now, RecordCache& cache) {
    Reader reader(now, cache);
    for (const Entry& entry : entries)
        reader.read(entry);
    return std::move(reader).take();
}

std::vector<std::pair<std::int64_t, std::int64_t>> overlapping(const std::vector<Heard>& parts) {
    std::vector<std::pair<std::int64_t, std::int64_t>> all;
    const Heard* longest = nullptr;
    for (const Heard& part : parts) {
        if (part.kind != HeardKind::Run) continue;
        if (longest && longest->when.to > part.when.from)
            all.emplace_back(longest->entry, part.entry);
        if (!longest || part.when.to > longest->when.to) longest = &part;
    }
    return all;
}

std::optional<WearBody> worn_at(std::span<const Entry> entries, std::int64_t session, Instant at,
                                RecordCache& cache) {
    const Entry* last = nullptr;
    for (const Entry& entry : entries) {
        if (entry.kind != EntryKind::Wear || entry.session != session || entry.from > at) continue;
        if (!last || std::pair(entry.from, entry.n) >= std::pair(last->from, last->n))
            last = &entry;
    }
    return last ? read_wear(last->body, cache) : std::nullopt;
}

bool is_recorded(const std::vector<Heard>& parts, const std::string& task, const Span& day) {
    return std::ranges::any_of(parts, [&](const Heard& part) {
        return part.kind == HeardKind::Task && part.name == task && !part.when.within(day).empty();
    });
}

}  // namespace earbudget::sessions
