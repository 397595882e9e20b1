#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/studies.hpp"
#include "overview/cards.hpp"
#include "records/register_file.hpp"
#include "records/session_state.hpp"

namespace earbudget::desk {

namespace {

using report::html::element;
using report::html::section;
using report::html::text;

/// Who was here today and has left.
std::string ended_today(const registers::Register& from, const sessions::Calendar& calendar) {
    const sessions::Span day = calendar.span_of(calendar.day_of(now()));
    std::map<std::int64_t, std::string> ended;
    from.each(day.from, day.to, [&](const registers::Entry& entry) {
        if (entry.kind == registers::EntryKind::SessionEnd && entry.session)
            ended.emplace(*entry.session, entry.as.value_or(""));
    });
    std::string words;
    for (const auto& [number, as] : ended)
        words += fmt::format(
            "{}{}", words.empty() ? "Ended today: " : ", ",
            link(fmt::format("/session/{}", number), fmt::format("session {}, {}", number, as)));
    return words.empty() ? "" : element("p", words);
}

/// What goes on, whoever began it.
std::string open_sessions(const Opened& desk) {
    if (!desk.in_register) {
        return element("p",
                       "No register: nothing that runs is recorded. Start the desk with "
                       "<code>--register FILE</code> to record sessions.");
    }
    const auto from = registers::Register::open(*desk.in_register, registers::Access::Read);
    const sessions::Calendar calendar = records::calendar_of(from);
    std::string items;
    for (const records::SessionState& state : records::open_sessions(from)) {
        items += element(
            "li", link(fmt::format("/session/{}", state.number()),
                       fmt::format("Session {}: {}, since {}", state.number(), state.session.as,
                                   rfc3339(calendar.stated(state.session.begins)).substr(0, 16))));
    }
    return (items.empty() ? element("p", "No session is open.")
                          : element("ul", "plain", "\n" + items)) +
           ended_today(from, calendar);
}

std::string plan_links(const Opened& desk, const Listed& plan) {
    const std::string name = serving::in_address(plan.name);
    std::string links;
    if (desk.in_register && !plan.is_study)
        links += link("/session?plan=" + name, "Begin a session", "act") + "\n";
    if (!plan.is_study) links += link("/try?plan=" + name, "Try changes", "act") + "\n";
    links += link("/report?plan=" + name, "Whole report", "act") + "\n";
    if (!plan.is_study) links += link("/sheet?plan=" + name, "Sheet for the scanner", "act") + "\n";
    return element("p", "acts", "\n" + links);
}

std::string plan_section(const Opened& desk, const Listed& plan, std::size_t number) {
    std::string content = element("p", "soft", text(plan.name));
    std::vector<std::string> wrong = plan.wrong;
    if (wrong.empty()) {
        try {
            content += desk.studies->assessed(desk, plan)->short_answer();
            content += plan_links(desk, plan);
        } catch (const files::InputErrors& errors) {
            wrong = words_of(errors);
        } catch (const InputError& error) {
            wrong = {error.what()};
        } catch (const Obstacle& obstacle) {
            wrong = {text_of(obstacle)};
        }
    }
    if (!wrong.empty())
        content += element("p", "wrong", "Cannot be answered:") + report::html::list_of(wrong);
    return section(fmt::format("plan-{}", number), 2,
                   text(plan.title.empty() ? plan.name : plan.title), content);
}

/// Cards of plans that are old, replaced or lack something.
std::string cards_section(const Opened& desk) {
    files::TextInputs inputs = inputs_of(desk);
    bool list_is_empty = true;
    std::string items;
    try {
        const auto list = overview::list_cards({desk.folder}, today_here().date, inputs);
        for (const overview::ListedCard& one : list.cards) {
            if (one.used_by.empty()) continue;
            list_is_empty = false;
            std::vector<std::string> words;
            if (one.state != CardState::Current) words.emplace_back(name_of(one.state));
            if (!one.missing.empty())
                words.push_back(fmt::format("does not state {}", fmt::join(one.missing, ", ")));
            if (!words.empty())
                items += element(
                    "li", link("/sounds/card?id=" + serving::in_address(one.card.id), one.card.id) +
                              text(fmt::format(": {}", fmt::join(words, "; "))));
        }
    } catch (const files::InputErrors& errors) {
        return section("cards", 2, "Cards", report::html::list_of(words_of(errors)));
    }
    const std::string content =
        items.empty() ? element("p", list_is_empty ? "No plan uses a card."
                                                   : "Every card in use is current and "
                                                     "complete.")
                      : element("ul", "plain", "\n" + items);
    return section("cards", 2, "Cards that are stale or lack something", content);
}

Reply today(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    std::string main = section("open", 2, "Sessions now", part("open", open_sessions(desk)));
    std::size_t number = 0;
    for (const Listed& plan : listed_plans(desk))
        main += plan_section(desk, plan, ++number);
    if (number == 0) {
        main += element("p",
                        "There is no plan in this folder nor below it. \"earbudget new "
                        "FOLDER\" makes one to begin with, from tables or scans if there are "
                        "some; or open the desk on a folder that holds plans.");
    }
    main += cards_section(desk);
    return framed(
        asked,
        {.here = "/", .title = "Today, " + today_here().date, .main = main, .live_ms = 10'000});
}

Reply report_page(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    const auto kept = desk.studies->assessed(desk, plan_named(desk, asked.query.get("plan")));
    return Reply::page(report::as_page(kept->document()));
}

Reply sheet_page(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    const auto kept = desk.studies->assessed(desk, plan_named(desk, asked.query.get("plan")));
    if (!kept->outs)
        return refused(asked, 422, "No sheet",
                       {"A sheet is of one plan, and of so few people that what to hand out can be "
                        "looked for; the command line makes it: earbudget assess PLAN --sheet."});
    return Reply::page(report::as_page(
        report::sheet_document(kept->plan->assessment, *kept->outs, kept->plan->file,
                               kept->plan->loaded.contact, kept->record)));
}

}  // namespace

std::vector<Route> today_routes() {
    return {{"GET", "/", today}, {"GET", "/report", report_page}, {"GET", "/sheet", sheet_page}};
}

}  // namespace earbudget::desk
