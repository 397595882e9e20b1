#include "desk/session_other.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/session_acts.hpp"
#include "desk/session_forms.hpp"
#include "desk/session_runs.hpp"
#include "overview/cards.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"

namespace earbudget::desk::at_session {

namespace {

using report::html::element;
using report::html::text;

using Cards = std::vector<overview::ListedCard>;

std::string to_choose(const Look& look, const Cards& cards, const std::string& chosen,
                      const std::string& lasting) {
    std::vector<std::pair<std::string, std::string>> options;
    for (const overview::ListedCard& one : cards)
        options.emplace_back(one.card.id,
                             one.card.title.empty()
                                 ? one.card.id
                                 : report::on_sheet(one.card.title) + " (" + one.card.id + ")");
    return get_form(
        fmt::format("/session/{}/other", look.number()),
        choice(
            {.name = "card", .label = "Sequence", .options = std::move(options), .value = chosen}) +
            field({.name = "for",
                   .label = "One run lasts, min",
                   .value = lasting,
                   .hint = "such as 4.5; left empty: answered for 1 min",
                   .attributes = "inputmode=\"decimal\" maxlength=\"12\""}) +
            button("May it be run?", {}, {}, "m", "main"));
}

std::optional<Seconds> time_of(const std::string& told) {
    return told.empty() ? std::nullopt : std::optional(time_told(told));
}

std::string answered(Look& look, const overview::ListedCard& card, const std::string& lasting) {
    std::vector<records::NextReport> all;
    for (const Somebody& one : look.people) {
        records::SessionAsked asked{.session = look.number(), .as = one.as};
        all.push_back(records::next_of(look.from, asked,
                                       {.cards = {card.file}, .lasting = time_of(lasting)},
                                       today_here().date, seed_of_draws));
    }
    std::vector<const records::NextReport*> answers;
    for (const records::NextReport& one : all)
        answers.push_back(&one);
    std::string content =
        element("p", text(report::strong(card.card.id))) + answer_for(look, card.card.id, answers);
    if (look.running() || look.stopped() || look.is_over())
        return content + element("p", "Nothing can be started now: look at the session.");
    const std::pair<std::string, std::string> which = {"card", card.card.id};
    std::vector<std::string> each = {tap(look, {.id = "card-start",
                                                .act = "card-start",
                                                .label = "Start",
                                                .key = "s",
                                                .look = "main",
                                                .fields = {which}})};
    if (!lasting.empty())
        each.push_back(tap(look, {.id = "card-done",
                                  .act = "card-done",
                                  .label = "It ran " + lasting + " min and is over",
                                  .key = "d",
                                  .fields = {which, {"minutes", lasting}}}));
    return content + taps(each);
}

}  // namespace

Reply not_on_the_plan(Look look) {
    files::TextInputs inputs = inputs_of(look.desk);
    const auto list = overview::list_cards({look.desk.folder}, today_here().date, inputs);
    const std::string chosen = look.asked.query.get("card");
    const std::string lasting = look.asked.query.filled("for").value_or("");
    std::string main =
        element("p",
                "A run that the plan does not have, by a card of this folder. It counts like "
                "every other.") +
        to_choose(look, list.cards, chosen, lasting);
    const auto found = std::ranges::find_if(
        list.cards, [&](const overview::ListedCard& one) { return one.card.id == chosen; });
    if (found != list.cards.end())
        main +=
            report::html::section("answer", 2, "May it be run?", answered(look, *found, lasting));
    main += element("p", "acts",
                    link(fmt::format("/session/{}", look.number()), "Back to the session", "act"));
    return framed(look.asked, {.here = "/session",
                               .title = fmt::format("Session {}: not on the plan", look.number()),
                               .main = main,
                               .look = "session"});
}

}  // namespace earbudget::desk::at_session
