#include "desk/session_running.hpp"

#include <algorithm>
#include <charconv>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/session_forms.hpp"
#include "earbudget/acoustics/number_text.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"

namespace earbudget::desk::at_session {

namespace {

using report::html::element;
using report::html::escaped;
using report::html::text;

constexpr std::int64_t asked_again_after_ms = 120'000;  // own choice

std::string counting(const char* which, Instant from, std::int64_t ms) {
    return fmt::format("<time data-{}=\"{}\">{}</time>", which, from.ms, clock_words(ms));
}

/// Until when somebody said that the run of an entry still goes on; the address keeps it.
Instant still_runs_until(const Look& look, std::int64_t entry) {
    const std::string& said = look.asked.query.get("still");
    const std::string begin = fmt::format("{}-", entry);
    std::int64_t until = 0;
    if (said.starts_with(begin))
        std::from_chars(said.data() + begin.size(), said.data() + said.size(), until);
    // No address silences the question for longer than a button does.
    return {std::min(until, look.now.ms + asked_again_after_ms)};
}

std::string is_it_over(const Look& look, const sessions::OpenRun& run) {
    const std::string still = fmt::format("/session/{}?still={}-{}", look.number(), run.entry,
                                          look.now.ms + asked_again_after_ms);
    return element("p", "ask", "Is it over? It counts, unconfirmed, until that is said.") +
           taps({tap(look, {.id = "as-planned",
                            .act = "stopped-as-planned",
                            .label = "It ended as planned",
                            .key = "y",
                            .look = "main"}),
                 fmt::format("<a id=\"still\" class=\"act\" data-key=\"u\" aria-keyshortcuts=\"u\" "
                             "href=\"{}\">It still runs <kbd aria-hidden=\"true\">u</kbd></a>\n",
                             escaped(still)),
                 tap(look, {.id = "ran-so-long",
                            .act = "stopped-after",
                            .label = "It ran so long",
                            .inside = minutes_field("ran-minutes")})});
}

}  // namespace

std::string clock_words(std::int64_t ms) {
    const std::int64_t seconds = std::max<std::int64_t>(0, ms / 1000);
    const std::int64_t minutes = seconds / 60;
    return minutes < 60 ? fmt::format("{}:{:02}", minutes, seconds % 60)
                        : fmt::format("{}:{:02}:{:02}", minutes / 60, minutes % 60, seconds % 60);
}

std::string minutes_field(std::string_view id) {
    return small_field(id, "minutes", "Minutes", "",
                       "inputmode=\"decimal\" size=\"4\" maxlength=\"8\" class=\"few\" "
                       "autocomplete=\"off\" required");
}

std::string running_now(const Look& look) {
    const sessions::OpenRun* run = look.running();
    if (!run) {
        return look.is_over() ? "" : element("p", "idle", "Nothing is running.");
    }
    const Seconds planned = planned_time(*run);
    const auto planned_ms = static_cast<std::int64_t>(planned.count() * 1000.0);
    const Instant end{run->from.ms + planned_ms};
    const std::int64_t past = look.now.ms - run->from.ms;
    std::string content = element("p", "which", text(title_of(look, run->body.sequence)));
    content += element("p", "clock", counting("since", run->from, past));
    if (planned_ms == 0) {
        content += element("p", text("since " + look.clock(run->from)));
    } else if (look.now < end) {
        content +=
            element("p", text(fmt::format("of {}, until {}: ", text_of(planned), look.clock(end))) +
                             counting("until", end, planned_ms - past) + " left");
    } else {
        content += element(
            "p", text(fmt::format("planned {}, until {}", text_of(planned), look.clock(end))));
    }
    content += taps({tap(look, {.id = "stop",
                                .act = "stop",
                                .label = "Stop: it is over now",
                                .key = "x",
                                .look = "main big"})});
    const bool is_asked =
        planned_ms > 0 && look.now >= end && look.now >= still_runs_until(look, run->entry);
    return content + (is_asked ? is_it_over(look, *run) : "");
}

std::string unconfirmed(const Look& look) {
    std::string content;
    for (const sessions::Heard& part : look.participant().heard.parts) {
        const auto& open = look.state.session.open;
        const bool goes_on =
            std::ranges::find(open, part.entry, &sessions::OpenRun::entry) != open.end();
        if (!part.unconfirmed || goes_on || part.session != look.number()) continue;
        const std::string entry = std::to_string(part.entry);
        content +=
            element("p", "ask",
                    text(fmt::format("How long did {} run, begun at {}? It counts {}, unconfirmed.",
                                     report::strong(title_of(look, part.name)),
                                     look.clock(part.when.from), text_of(part.when.time()))));
        content += taps(
            {tap(look, {.id = "confirm-" + entry,
                        .act = "lasted-as-counted",
                        .label = "So long: " + text_of(part.when.time()),
                        .fields = {{"entry", entry}}}),
             tap(look, {.id = "lasted-" + entry,
                        .act = "lasted",
                        .label = "It ran so long",
                        .fields = {{"entry", entry}, {"why", "how long it ran was told later"}},
                        .inside = minutes_field("minutes-" + entry)}),
             tap(look, {.id = "never-" + entry,
                        .act = "never",
                        .label = "It did not run",
                        .fields = {{"entry", entry}, {"why", "it did not run"}}})});
    }
    return content;
}

}  // namespace earbudget::desk::at_session
