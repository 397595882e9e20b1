#include "desk/session_before.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/session_bars.hpp"
#include "desk/session_look.hpp"
#include "desk/session_words.hpp"
#include "records/register_file.hpp"
#include "records/session_state.hpp"
#include "report/text_style.hpp"

namespace earbudget::desk::at_session {

namespace {

using report::html::element;
using report::html::text;

std::string past_stop_words(const sessions::HeardEvent& stop, const sessions::Calendar& calendar) {
    return element(
        "div", "alarm",
        "\n" +
            element("p", "first",
                    text(fmt::format("STOP: {}, told at {}.", words_for(stop.what).button,
                                     day_and_time(calendar, stop.at)))) +
            element("p",
                    "Nothing is run with this person until somebody is named who cleared it. "
                    "Whether that person may is the unit's rule.") +
            field({.name = "cleared_by",
                   .label = "Cleared by, code",
                   .hint = "left empty: the session begins, and every run is answered with No",
                   .attributes = "maxlength=\"64\" autocomplete=\"off\""}));
}

std::string sessions_words(const std::vector<sessions::Heard>& parts, const sessions::Span& day) {
    std::set<std::int64_t> of_day, of_week;
    for (const sessions::Heard& part : parts) {
        of_week.insert(part.session);
        if (!part.when.within(day).empty()) of_day.insert(part.session);
    }
    return fmt::format("Heard before: {} session{} today, {} in the last days.", of_day.size(),
                       of_day.size() == 1 ? "" : "s", of_week.size());
}

}  // namespace

HeardBefore before(const registers::Register& from, const std::string& as, Role role) {
    HeardBefore told;
    if (!from.knows(as)) {
        told.markup = element("p", text(fmt::format("The register does not know {} yet: nothing "
                                                    "was heard before, as far as it can tell.",
                                                    as)));
        return told;
    }
    const sessions::Calendar calendar = records::calendar_of(from);
    const Instant at = now();
    const auto entries = records::entries_for(from, calendar, as, at);
    sessions::RecordCache cache;
    const auto heard = sessions::heard_by(entries, at, cache);
    std::int64_t newest = 0;
    for (const registers::Entry& entry : entries)
        newest = std::max(newest, entry.n);
    told.seal = fmt::format("{}-{}", as, newest);
    if (const sessions::HeardEvent* stop = heard.stop()) {
        told.must_stop = told.must_be_read = true;
        told.markup += past_stop_words(*stop, calendar);
    }
    sessions::Judge judge(calendar);
    const auto so_far = judge.at(heard.parts, at, role);
    const bool is_anything = !heard.parts.empty() && so_far && !so_far->criteria.empty();
    told.must_be_read = told.must_be_read || !heard.parts.empty();
    const sessions::Span day = calendar.span_of(calendar.day_of(at));
    told.markup += heard.parts.empty()
                       ? element("p", text(as + " heard nothing today and in the last days."))
                       : element("p", text(report::strong(sessions_words(heard.parts, day))));
    if (is_anything) told.markup += bars_of(*so_far, *so_far);
    if (!heard.parts.empty() && !is_anything)
        told.markup += element("p", "No limit of this role is known of it.");
    return told;
}

}  // namespace earbudget::desk::at_session
