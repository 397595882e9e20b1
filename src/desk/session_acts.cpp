#include "desk/session_acts.hpp"

#include <algorithm>
#include <array>
#include <charconv>

#include <fmt/format.h>

#include "desk/session_look.hpp"
#include "desk/session_words.hpp"
#include "earbudget/study/input_error.hpp"
#include "files/written_values.hpp"
#include "overview/cards.hpp"

namespace earbudget::desk::at_session {

namespace {

/// What a form says, of a session as it stands.
struct Said {
    const Opened& desk;
    const Asked& asked;
    registers::Register& into;
    const records::SessionState& state;

    [[nodiscard]] const Form& form() const { return asked.form; }
    [[nodiscard]] records::SessionRecorder recorder() const {
        records::SessionAsked told = told_by(asked, state.number());
        if (const auto as = form().filled("as")) told.as = *as;
        if (const auto by = form().filled("cleared_by")) told.cleared_by = *by;
        return {into, told, today_here().date};
    }
};

std::int64_t number_in(const std::string& text) {
    std::int64_t number = -1;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    return error == std::errc() && end == text.data() + text.size() ? number : -1;
}

/// Nothing is run while somebody who is there must stop.
void refuse_while_stopped(const Said& said) {
    sessions::RecordCache cache;
    for (const std::string& as : said.state.codes()) {
        const auto heard = sessions::heard_by(said.into.events_of(as), now(), cache);
        const sessions::HeardEvent* stop = heard.stop();
        if (!stop) continue;
        throw InputError({fmt::format("session {}", said.state.number())},
                         fmt::format("nothing is run: {} told {}, and nobody is named who cleared "
                                     "it; accepted: first the code of who did",
                                     as, words_for(stop->what).button));
    }
}

std::string card_named(const Said& said) {
    files::TextInputs inputs = inputs_of(said.desk);
    const auto list = overview::list_cards({said.desk.folder}, today_here().date, inputs);
    for (const overview::ListedCard& one : list.cards)
        if (one.card.id == said.form().get("card")) return one.file;
    throw InputError({"card"}, fmt::format("\"{}\" is the id of no card of this desk; accepted: "
                                           "one that is offered",
                                           said.form().get("card")));
}

void run(const Said& said, const records::RunTold& told) {
    refuse_while_stopped(said);
    static_cast<void>(said.recorder().run(told));
}

const sessions::OpenRun& open_run(const Said& said) {
    if (said.state.session.open.empty()) {
        throw InputError({fmt::format("session {}", said.state.number())},
                         "nothing is running; accepted: what the page shows now");
    }
    return said.state.session.open.front();
}

void wear(const Said& said) {
    static_cast<void>(said.recorder().wear(
        {.wears = said.form().all("wears"), .poor_fit = said.form().get("poor_fit") == "yes"}));
}

void check(const Said& said) {
    const auto ear = sessions::ears_checked.parse(said.form().get("ear"));
    if (!ear) throw InputError({"ear"}, "is not told; accepted: left, right, both");
    static_cast<void>(said.recorder().check(
        {.ear = *ear, .how = {}, .seated = said.form().get("seated") == "yes"}));
}

void start(const Said& said) { run(said, {.sequence = said.form().get("sequence")}); }

/// It is over, and lasted as planned or as is told: it ended now.
void done(const Said& said) {
    const auto minutes = said.form().filled("minutes");
    run(said, {.sequence = said.form().get("sequence"),
               .stopped = time_told(minutes.value_or(said.form().get("for")))});
}

void card_start(const Said& said) { run(said, {.card = card_named(said)}); }

void card_done(const Said& said) {
    run(said, {.card = card_named(said), .stopped = time_told(said.form().get("minutes"))});
}

// The end of a run is told whoever must stop: it happened.
void stop(const Said& said) { static_cast<void>(said.recorder().run({.stop = true})); }

void stopped_as_planned(const Said& said) {
    const Seconds planned = planned_time(open_run(said));
    if (!(planned.count() > 0.0)) {
        throw InputError({fmt::format("session {}", said.state.number())},
                         "how long this run was to last is not known; accepted: how long it ran");
    }
    static_cast<void>(said.recorder().run({.stopped = planned}));
}

void stopped_after(const Said& said) {
    static_cast<void>(open_run(said));
    static_cast<void>(said.recorder().run({.stopped = time_told(said.form().get("minutes"))}));
}

void event(const Said& said) {
    const auto what = sessions::event_kinds.parse(said.form().get("what"));
    if (!what) throw InputError({"what"}, "is not told; accepted: what a button of the page says");
    static_cast<void>(said.recorder().event(sessions::EventBody{*what, said.form().get("note")}));
}

void stop_all(const Said& said) {
    if (!said.state.session.open.empty()) stop(said);
    static_cast<void>(said.recorder().event(
        sessions::EventBody{sessions::EventKind::Other, std::string(all_stopped)}));
}

void clear(const Said& said) {
    if (!said.form().filled("cleared_by"))
        throw InputError({"cleared by"}, "is empty; accepted: the code of who cleared it");
    static_cast<void>(said.recorder().event(std::nullopt));
}

void end(const Said& said) { static_cast<void>(said.recorder().end()); }

records::CorrectionTold correction(const Said& said) {
    const std::int64_t entry = number_in(said.form().get("entry"));
    const auto& entries = said.state.entries;
    if (std::ranges::find(entries, entry, &registers::Entry::n) == entries.end()) {
        throw InputError({"entry"}, fmt::format("\"{}\" is no entry of session {}; accepted: one "
                                                "that the page shows",
                                                said.form().get("entry"), said.state.number()));
    }
    const auto why = said.form().filled("why");
    const auto& told = *std::ranges::find(entries, entry, &registers::Entry::n);
    const auto event =
        told.kind == registers::EntryKind::Event ? sessions::read_event(told.body) : std::nullopt;
    if (!why && event && sessions::event_kinds[event->what].stops) {
        throw InputError({"why"}, fmt::format("is empty; accepted: why {} was not so, in a few "
                                              "words without names",
                                              words_for(event->what).button));
    }
    return {.entry = entry, .why = why.value_or("told by mistake")};
}

void lasted(const Said& said) {
    auto told = correction(said);
    told.lasting = time_told(said.form().get("minutes"));
    static_cast<void>(said.recorder().correct(told));
}

/// What counts, unconfirmed, is what was.
void lasted_as_counted(const Said& said) {
    auto told = correction(said);
    told.why = "it lasted as it was counted";
    sessions::RecordCache cache;
    for (const sessions::Heard& part : sessions::heard_by(said.state.entries, now(), cache).parts)
        if (part.entry == told.entry && part.unconfirmed) told.lasting = part.when.time();
    if (!told.lasting) throw InputError({"entry"}, "is of no run whose end is asked for");
    static_cast<void>(said.recorder().correct(told));
}

void never(const Said& said) {
    auto told = correction(said);
    told.never = true;
    static_cast<void>(said.recorder().correct(told));
}

struct Act {
    std::string_view name;
    void (*tell)(const Said&);
};
constexpr std::array<Act, 16> acts = {{{"wear", wear},
                                       {"check", check},
                                       {"start", start},
                                       {"done", done},
                                       {"card-start", card_start},
                                       {"card-done", card_done},
                                       {"stop", stop},
                                       {"stopped-as-planned", stopped_as_planned},
                                       {"stopped-after", stopped_after},
                                       {"event", event},
                                       {"stop-all", stop_all},
                                       {"clear", clear},
                                       {"end", end},
                                       {"lasted", lasted},
                                       {"lasted-as-counted", lasted_as_counted},
                                       {"never", never}}};

}  // namespace

Seconds time_told(const std::string& text) {
    constexpr Seconds longest = Hours(24);
    std::string number = text;
    std::ranges::replace(number, ',', '.');
    double minutes = 0.0;
    const auto [end, error] =
        std::from_chars(number.data(), number.data() + number.size(), minutes);
    const bool is_number = error == std::errc() && end == number.data() + number.size();
    const auto time =
        is_number ? std::optional(Seconds(60.0 * minutes)) : files::parse_duration(text);
    if (!time || !(time->count() > 0.0) || *time > longest) {
        throw InputError({"min"}, fmt::format("\"{}\" is no time of a run; accepted: minutes, such "
                                              "as 4.5, 24 h at most",
                                              text));
    }
    return *time;
}

void tell(const Opened& desk, const Asked& asked, std::int64_t number) {
    const auto act = std::ranges::find(acts, asked.form.get("act"), &Act::name);
    if (act == acts.end())
        throw InputError({"act"}, "is nothing that can be told; accepted: the page's own buttons");
    auto into = registers::Register::open(*desk.in_register, registers::Access::Write);
    into.in_one([&] {
        const auto state = records::state_of(into, number);
        const std::int64_t seen = number_in(asked.form.get("seen"));
        if (seen != newest_of(state)) throw RecordedMeanwhile{seen};
        act->tell({desk, asked, into, state});
    });
}

std::string address_behind(const Asked& asked, std::int64_t number) {
    const std::string& act = asked.form.get("act");
    const bool is_seating = act == "wear" || act == "check";
    return fmt::format("/session/{}{}", number, is_seating ? "#seating" : "");
}

}  // namespace earbudget::desk::at_session
