#include "desk/session_look.hpp"

#include <algorithm>

#include "desk/frame.hpp"
#include "report/sheet_parts.hpp"
#include "report/words/words.hpp"

namespace earbudget::desk::at_session {

namespace {

using registers::Entry;

/// What was heard with what goes on counted until now.
std::vector<sessions::Heard> until(std::vector<sessions::Heard> parts, Instant now) {
    for (sessions::Heard& part : parts)
        if (part.unconfirmed) part.when.to = std::clamp(now, part.when.from, part.when.to);
    std::erase_if(parts, [](const sessions::Heard& part) { return part.when.empty(); });
    return parts;
}

}  // namespace

std::string day_and_time(const sessions::Calendar& calendar, Instant at) {
    constexpr std::size_t day = 10, time_at = 11, time = 5;  // of 2026-11-29T10:32:05
    const std::string stated = rfc3339(calendar.stated(at));
    return stated.substr(0, day) + " " + stated.substr(time_at, time);
}

std::int64_t newest_of(const records::SessionState& state) {
    std::int64_t newest = 0;
    for (const Entry& entry : state.entries)
        newest = std::max(newest, entry.n);
    return newest;
}

records::SessionAsked told_by(const Asked& asked, std::int64_t number) {
    records::SessionAsked told{.session = number};
    if (!asked.by.empty()) told.by = asked.by;
    return told;
}

std::string title_of(const Look& look, const std::string& sequence) {
    const auto known =
        look.plan() ? sessions::sequence_named(*look.plan(), sequence) : std::nullopt;
    return known && !look.plan()->sequences[*known].title.empty()
               ? report::sequence_title(*look.plan(), *known)
               : report::on_sheet(sequence);
}

Seconds planned_time(const sessions::OpenRun& run) {
    return run.body.planned.value_or(Seconds(0.0));
}

Look::Look(const Opened& opened, const Asked& what, std::int64_t number)
    : desk(opened),
      asked(what),
      from(registers::Register::open(*opened.in_register, registers::Access::Read)),
      calendar(records::calendar_of(from)),
      now(earbudget::now()),
      state(records::state_of(from, number)),
      newest(newest_of(state)) {
    read_plan();
    for (const std::string& as : state.codes())
        add(as);
}

void Look::read_plan() {
    try {
        kept = desk.studies->assessed(desk, {.name = state.session.start.plan->title,
                                             .path = state.session.start.plan->file});
    } catch (const files::InputErrors& errors) {
        why_no_plan = words_of(errors);
    } catch (const InputError& error) {
        why_no_plan = {error.what()};
    } catch (const Obstacle& obstacle) {
        why_no_plan = {text_of(obstacle)};
    }
}

void Look::add(const std::string& as) {
    Somebody one{.as = as, .id = state.presence(as).person};
    one.ears = records::ears_at(state, as, now);
    sessions::RecordCache cache;
    one.heard = sessions::heard_by(records::entries_for(from, calendar, as, now), now, cache);
    if (const Plan* of = plan()) {
        const auto found = std::ranges::find(of->people, one.id, &Person::id);
        if (found != of->people.end()) {
            one.planned = &*found;
            one.worn = state.session.person(*of, as);
            if (kept->outs)
                one.out =
                    &kept->outs->each.at(static_cast<std::size_t>(found - of->people.begin()));
        }
    }
    // After the end the summary tells what there is to be told.
    if (one.planned && !is_over()) ask_next(one);
    people.push_back(std::move(one));
}

void Look::ask_next(Somebody& one) {
    try {
        records::SessionAsked told = told_by(asked, number());
        told.as = one.as;
        told.by = std::nullopt;
        one.next = records::next_of(from, told, {}, today_here().date, seed_of_draws);
    } catch (const files::InputErrors& errors) {
        why_no_plan = words_of(errors);
        return;
    } catch (const InputError& error) {
        why_no_plan = {error.what()};
        return;
    }
    one.until_now = one.next->next.so_far;
    if (state.session.open.empty() || !one.until_now) return;
    sessions::Judge judge(calendar, Drawn::AsFewAsAreSure);
    one.until_now = judge.at(until(one.heard.parts, now), now, one.next->role);
}

const sessions::OpenRun* Look::running() const {
    const auto& open = state.session.open;
    const auto found = std::ranges::find(open, state.session.as, &sessions::OpenRun::as);
    return found == open.end() ? (open.empty() ? nullptr : &open.front()) : &*found;
}

const Somebody* Look::stopped() const {
    const auto found =
        std::ranges::find_if(people, [](const Somebody& one) { return one.stop() != nullptr; });
    return found == people.end() ? nullptr : &*found;
}

const Plan* Look::plan() const { return kept && kept->plan ? &kept->plan->loaded.plan : nullptr; }

std::string Look::clock(Instant at) const {
    constexpr std::size_t begin = 11, length = 8;  // of 2026-11-29T10:32:05
    return rfc3339(calendar.stated(at)).substr(begin, length);
}

}  // namespace earbudget::desk::at_session
