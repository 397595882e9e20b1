#include "desk/session_recorded.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/session_forms.hpp"
#include "desk/session_running.hpp"
#include "desk/session_words.hpp"
#include "earbudget/acoustics/number_text.hpp"
#include "records/entry_words.hpp"
#include "report/text_style.hpp"

namespace earbudget::desk::at_session {

namespace {

using registers::Entry;
using registers::EntryKind;
using report::html::element;
using report::html::text;

/// What was told last, by whoever is meant first: of a run that several hear the participant's.
const Entry* last_told(const Look& look) {
    constexpr std::int64_t at_once_ms = 500;  // own choice: what is told as one
    const Entry *last = nullptr, *own = nullptr;
    for (const Entry& entry : look.state.entries) {
        if (!last || entry.n > last->n) last = &entry;
        const bool is_own = entry.as == look.state.session.as;
        if (is_own && (!own || entry.n > own->n)) own = &entry;
    }
    return own && last->recorded.ms - own->recorded.ms <= at_once_ms ? own : last;
}

bool is_run(const Entry& entry) {
    return entry.kind == EntryKind::Run || entry.kind == EntryKind::RunStart;
}

/// The newest event with no run begun behind it, so that it still asks for something.
std::optional<sessions::EventBody> event_now(const Look& look) {
    std::optional<sessions::EventBody> now;
    for (const Entry& entry : look.state.entries) {
        if (is_run(entry) && now) now = std::nullopt;
        if (entry.kind != EntryKind::Event) continue;
        if (auto body = sessions::read_event(entry.body)) now = std::move(body);
    }
    return now;
}

std::string clear_tap(const Look& look, const Somebody& one) {
    // Each has their own, where several must stop.
    const std::string n = std::to_string(&one - look.people.data());
    return taps(
        {tap(look, {.id = "clear-" + n,
                    .act = "clear",
                    .label = "This person cleared it",
                    .fields = {{"as", one.as}},
                    .inside = small_field("cleared-by-" + n, "cleared_by", "Cleared by, code", "",
                                          "required maxlength=\"64\"")})});
}

std::string stop_words(const Look& look, const Somebody& one) {
    const sessions::HeardEvent& stop = *one.stop();
    const EventWords& words = words_for(stop.what);
    return element("p", "first",
                   text(fmt::format("STOP: {}: {}, told at {}.", one.as, words.button,
                                    day_and_time(look.calendar, stop.at)))) +
           element("p", text(words.now)) +
           element("p",
                   "Every run is answered with No until somebody is named who cleared it. Whether "
                   "that person may is the unit's rule.") +
           clear_tap(look, one);
}

bool can_be_taken_back(const Entry& entry) {
    return entry.kind != EntryKind::SessionStart && entry.kind != EntryKind::Present &&
           entry.kind != EntryKind::Task && entry.kind != EntryKind::Clearance;
}

/// The event that ended the session by itself; null where somebody ended it.
const Entry* event_that_ended(const Look& look, const Entry& end) {
    for (const Entry& entry : look.state.entries) {
        if (entry.kind != EntryKind::Event || entry.as != end.as || entry.from != end.from)
            continue;
        const auto event = sessions::read_event(entry.body);
        if (event && sessions::event_kinds[event->what].stops) return &entry;
    }
    return nullptr;
}

std::string never_tap(const Look& look, const Entry& entry, const std::string& id,
                      const std::string& label) {
    const std::string number = std::to_string(entry.n);
    const auto event =
        entry.kind == EntryKind::Event ? sessions::read_event(entry.body) : std::nullopt;
    // What stops everything is not taken back by one press.
    if (event && sessions::event_kinds[event->what].stops) {
        return tap(look,
                   {.id = id,
                    .act = "never",
                    .label = label,
                    .fields = {{"entry", number}},
                    .inside = small_field(id + "-why", "why", "Why, in a few words", "",
                                          "required maxlength=\"500\" autocomplete=\"off\"")});
    }
    return tap(look, {.id = id,
                      .act = "never",
                      .label = label,
                      .fields = {{"entry", number}, {"why", "told by mistake"}}});
}

std::string taken_back(const Look& look, const Entry& entry) {
    const std::string number = std::to_string(entry.n);
    std::vector<std::string> each;
    if (is_run(entry)) {
        each.push_back(tap(look, {.id = "last-lasted",
                                  .act = "lasted",
                                  .label = "It ran so long",
                                  .fields = {{"entry", number}, {"why", "told wrongly before"}},
                                  .inside = minutes_field("last-minutes")}));
    }
    if (entry.kind == EntryKind::SessionEnd) {
        if (const Entry* event = event_that_ended(look, entry))
            each.push_back(
                never_tap(look, *event, "event-never",
                          std::string(words_for(sessions::read_event(event->body)->what).button) +
                              " was not so"));
    }
    each.push_back(never_tap(look, entry, "last-never",
                             is_run(entry)                         ? "That did not run"
                             : entry.kind == EntryKind::SessionEnd ? "It has not ended"
                                                                   : "That was not so"));
    return "<details id=\"put-right\"><summary>Put it right</summary>\n" + taps(each) +
           "</details>\n";
}

}  // namespace

std::string words_of_told(const Look& look, const Entry& entry) {
    sessions::RecordCache cache;
    std::string what = records::words_of_entry(entry, cache);
    if (const auto event =
            entry.kind == EntryKind::Event ? sessions::read_event(entry.body) : std::nullopt)
        what = event->note == all_stopped ? std::string(words_for(event->what).button)
                                          : std::string(words_for(event->what).button) +
                                                (event->note.empty() ? "" : ": " + event->note);
    std::string words = look.clock(entry.from);
    if (entry.to > entry.from) words += " to " + look.clock(entry.to);
    words += fmt::format(", {}", name_for(entry.kind));
    if (!what.empty()) words += ": " + what;
    if (entry.as && *entry.as != look.state.session.as) words += " (" + *entry.as + ")";
    if (entry.by) words += ", told by " + *entry.by;
    return words;
}

std::string what_to_do_now(const Look& look) {
    std::string content;
    for (const Somebody& one : look.people)
        if (one.stop()) content += element("div", "alarm", "\n" + stop_words(look, one));
    if (!content.empty() || look.is_over()) return content;
    const auto event = event_now(look);
    if (!event || (event->what == sessions::EventKind::Other && event->note != all_stopped))
        return "";
    const EventWords& words = words_for(event->what);
    return element(
        "div", "alarm",
        "\n" + element("p", "first", text(words.button)) + element("p", text(words.now)));
}

std::string recorded_last(const Look& look) {
    const Entry* last = last_told(look);
    if (!last) return "";
    return element("p",
                   text(report::strong("Recorded:") + " " + words_of_told(look, *last) + ".")) +
           (can_be_taken_back(*last) ? taken_back(look, *last) : "");
}

}  // namespace earbudget::desk::at_session
