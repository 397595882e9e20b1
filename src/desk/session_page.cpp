// The page of a session, and what its buttons tell.
#include <charconv>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/session_acts.hpp"
#include "desk/session_bars.hpp"
#include "desk/session_begin.hpp"
#include "desk/session_forms.hpp"
#include "desk/session_other.hpp"
#include "desk/session_recorded.hpp"
#include "desk/session_running.hpp"
#include "desk/session_runs.hpp"
#include "desk/session_seating.hpp"
#include "desk/session_words.hpp"
#include "records/session_show.hpp"

namespace earbudget::desk {

namespace at_session {

namespace {

using report::html::element;
using report::html::section;
using report::html::text;

constexpr int ask_again_ms = 2'000, ask_again_when_over_ms = 10'000;
constexpr int conflict = 409, bad_input = 422;

/// One tap each, whatever happens.
std::string events(const Look& look) {
    using Kind = sessions::EventKind;
    std::vector<std::string> each;
    for (const Kind what :
         {Kind::PlugLoose, Kind::SqueezeBall, Kind::Pain, Kind::Ringing, Kind::DulledHearing}) {
        const bool stops = sessions::event_kinds[what].stops;
        if (look.is_over() && !stops) continue;
        const EventWords& words = words_for(what);
        const std::string name(sessions::event_kinds[what].name);
        each.push_back(tap(look, {.id = "event-" + name,
                                  .act = "event",
                                  .label = std::string(words.button),
                                  .key = std::string(words.key),
                                  .look = stops ? "grave" : "",
                                  .fields = {{"what", name}}}));
    }
    if (!look.is_over()) {
        const EventWords& words = words_for(Kind::Other);
        each.push_back(tap(look, {.id = "stop-all",
                                  .act = "stop-all",
                                  .label = std::string(words.button),
                                  .key = std::string(words.key),
                                  .look = "grave"}));
    }
    return taps(each, "taps events");
}

std::string end_tap(const Look& look) {
    if (look.is_over()) return "";
    return taps({tap(look, {.id = "end", .act = "end", .label = "End the session", .key = "e"})});
}

/// What `session show` tells, once it is over.
std::string summary(const Look& look) {
    if (!look.is_over()) return "";
    records::SessionAsked asked{.session = look.number()};
    auto document = records::show_document(records::show_of(look.from, asked, today_here().date));
    // The page has its own head, alarm and cautions.
    std::erase_if(document.sections, [](const report::Section& one) {
        return one.id == "session" || one.id == "cautions";
    });
    return report::as_fragment(document) +
           element("p", "acts", link("/session", "Begin another session", "act"));
}

/// What changed beside the page: the plan, the clock.
std::string notes(const Look& look) {
    std::string content;
    if (!look.participant().next) return content;
    for (const records::SessionNote& note : look.participant().next->notes)
        if (note.code == records::SessionNoteCode::PlanChanged ||
            note.code == records::SessionNoteCode::ClockSetBack)
            content += element("p", "wrong", text(note.text));
    return content;
}

std::string teller(const Look& look) {
    const std::string back = hidden("back", fmt::format("/session/{}", look.number()));
    if (look.asked.by_is_settled) return "";
    const bool asked_now = look.asked.by.empty();
    const std::string now =
        asked_now ? "Nobody is named who tells this." : "Told by " + look.asked.by + ".";
    return std::string("<details id=\"teller\"") + (asked_now ? " open" : "") + "><summary>" +
           text(now) + "</summary>\n" +
           post_form(look.asked, "/teller",
                     back +
                         small_field("teller-code", "by", "Your own code", look.asked.by,
                                     "required maxlength=\"64\" autocomplete=\"off\"") +
                         button("From now on I tell it"),
                     "class=\"tap\"") +
           "</details>\n";
}

std::string head(const Look& look) {
    const std::string since =
        look.is_over()
            ? "ended at " + look.clock(*look.state.session.ends)
            : fmt::format("since {}, <time data-since=\"{}\">{}</time>",
                          look.clock(look.state.session.begins), look.state.session.begins.ms,
                          clock_words(look.now.ms - look.state.session.begins.ms));
    return element("p", "soft",
                   text(look.state.session.start.plan->title) + " · " + since + " · " +
                       link(fmt::format("/session/{}", look.number()), "Look again") +
                       "<noscript> (without scripts this page stands still until then)</noscript>");
}

std::string columns(const Look& look) {
    const std::string asked = running_now(look) + unconfirmed(look);
    const std::string now =
        asked.empty()
            ? ""
            : "<div class=\"now\" role=\"region\" aria-label=\"What runs\">\n" + asked + "</div>\n";
    const std::string left = part("now", now) + part("events", events(look)) +
                             "<div id=\"seating\">\n" +
                             part("seating", look.is_over() ? "" : seating(look)) + "</div>\n";
    const std::string right =
        part("bars", look.is_over() ? "" : bars(look)) + part("runs", runs(look));
    return "<div class=\"columns\">\n<div>\n" + left + "</div>\n<div>\n" + right +
           "</div>\n</div>\n";
}

std::int64_t number_of(const Parts& parts) {
    std::int64_t number = 0;
    const std::string& word = parts.front();
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), number);
    if (error == std::errc() && end == word.data() + word.size() && number > 0) return number;
    throw InputError({"session"},
                     fmt::format("\"{}\" is no number of one; accepted: one of \"Session\"", word));
}

Reply page_of(const Look& look, const std::vector<std::string>& said = {}, int status = 200) {
    std::string main = head(look) + part("alarm", what_to_do_now(look), "div", "role=\"alert\"") +
                       part("recorded", recorded_last(look) + notes(look), "div",
                            "class=\"recorded\" role=\"status\"") +
                       columns(look) + part("summary", summary(look)) + part("end", end_tap(look)) +
                       teller(look);
    return framed(look.asked,
                  {.here = "/session",
                   .title = fmt::format("Session {}: {} as {}", look.number(),
                                        look.state.session.as, look.state.session.start.person),
                   .main = main,
                   .live_ms = look.is_over() ? ask_again_when_over_ms : ask_again_ms,
                   .look = "session",
                   .said = said},
                  status);
}

/// What others recorded since, and that this was not done.
std::vector<std::string> meanwhile_words(const Look& look, std::int64_t seen) {
    std::vector<std::string> words = {
        "Not done: something else was recorded since this page was made. Look, then press once "
        "more where it still holds."};
    for (const registers::Entry& entry : look.state.entries)
        if (entry.n > seen && entry.as == look.state.session.as)
            words.push_back(words_of_told(look, entry));
    if (words.size() == 1) words.emplace_back("What was recorded last was put right.");
    return words;
}

Reply session_page(const Opened& desk, const Asked& asked, const Parts& parts) {
    if (!desk.in_register) return no_register(asked);
    return page_of(Look(desk, asked, number_of(parts)));
}

Reply told(const Opened& desk, const Asked& asked, const Parts& parts) {
    if (!desk.in_register) return no_register(asked);
    const std::int64_t number = number_of(parts);
    if (asked.by.empty()) return who_tells_it(asked, fmt::format("/session/{}", number));
    try {
        tell(desk, asked, number);
        return Reply::see(address_behind(asked, number));
    } catch (const RecordedMeanwhile& meanwhile) {
        const Look look(desk, asked, number);
        return page_of(look, meanwhile_words(look, meanwhile.seen), conflict);
    } catch (const files::InputErrors& errors) {
        auto words = words_of(errors);
        words.insert(words.begin(), "Not done:");
        return page_of(Look(desk, asked, number), words, bad_input);
    } catch (const InputError& error) {
        return page_of(Look(desk, asked, number), {"Not done:", error.what()}, bad_input);
    }
}

Reply other_page(const Opened& desk, const Asked& asked, const Parts& parts) {
    if (!desk.in_register) return no_register(asked);
    return not_on_the_plan(Look(desk, asked, number_of(parts)));
}

}  // namespace

}  // namespace at_session

std::vector<Route> session_routes() {
    using namespace at_session;
    return {{"GET", "/session", begin_page},
            {"POST", "/session/before", heard_before},
            {"POST", "/session", begun},
            {"POST", "/teller", teller_named},
            {"GET", "/session/*", session_page},
            {"POST", "/session/*", told},
            {"GET", "/session/*/other", other_page}};
}

}  // namespace earbudget::desk
