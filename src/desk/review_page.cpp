#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "desk/child_page.hpp"
#include "desk/frame.hpp"
#include "desk/sounds_form.hpp"
#include "desk/sounds_list.hpp"
#include "desk/studies.hpp"
#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/limits/review_terms.hpp"
#include "earbudget/protection/method.hpp"
#include "earbudget/study/plan.hpp"

namespace earbudget::desk {

namespace {

using report::html::element;
using report::html::escaped;
using report::html::section;
using report::html::text;

// A review is made by the command `review` itself, as a process of its own, so that what the
// committee signs is what the command line writes.

/// So long a page waits for it; a review of one card takes some hundredths of a second.
constexpr std::chrono::seconds longest_review{8};

const std::vector<std::string>& options_of_review() {
    static const std::vector<std::string> names = {"against",
                                                   "protectors",
                                                   "criteria",
                                                   "for",
                                                   "role",
                                                   "method",
                                                   "derating",
                                                   "protection-performance",
                                                   "accepted-probability",
                                                   "sessions-per-day",
                                                   "days-per-week",
                                                   "at-least"};
    return names;
}

/// Those that are told as they are typed; files and criteria are looked up instead.
const std::vector<std::string>& options_as_typed() {
    static const std::vector<std::string> names(options_of_review().begin() + 3,
                                                options_of_review().end());
    return names;
}

/// What a review is of, found among what the folder has.
struct ReviewSubject {
    const overview::ListedCard& card;
    std::string file;
    std::vector<std::string> arguments;
};

/// A path below the folder, which the process runs in.
std::string as_argument(const Opened& desk, const std::string& path) {
    return "./" + name_below(desk, path);
}

ReviewSubject subject_of(const Opened& desk, const Asked& asked, const Sounds& sounds) {
    const Form& form = asked.query;
    const overview::ListedCard& card = card_named(desk, sounds, form.get("id"), form.get("file"));
    ReviewSubject subject{card,
                          name_below(desk, card.file),
                          {"review", as_argument(desk, card.file), "--format=html",
                           option_with("date", today_here().date)}};
    if (form.filled("protectors"))
        subject.arguments.push_back(option_with(
            "protectors",
            as_argument(desk, catalogue_named(desk, sounds, form.get("protectors")).file)));
    if (form.filled("against")) {
        const auto& all = sounds.list.cards;
        const auto earlier = std::ranges::find_if(all, [&](const overview::ListedCard& one) {
            return name_below(desk, one.file) == form.get("against");
        });
        if (earlier == all.end())
            throw InputError({"against"}, fmt::format("\"{}\" is no card of this folder; accepted: "
                                                      "one that is listed",
                                                      form.get("against")));
        subject.arguments.push_back(option_with("against", as_argument(desk, earlier->file)));
    }
    for (const std::string& id : form.all("criteria"))
        if (find_published_criterion(id)) subject.arguments.push_back(option_with("criteria", id));
    for (std::string& option : options_filled(form, options_as_typed()))
        subject.arguments.push_back(std::move(option));
    return subject;
}

ChildAnswer review_made(const Opened& desk, const ReviewSubject& subject) {
    ChildLimits limits;
    limits.longest = longest_review;
    return run_child(desk.program, subject.arguments, desk.folder, limits);
}

template <class Names>
std::vector<std::pair<std::string, std::string>> named_options(const Names& names) {
    std::vector<std::pair<std::string, std::string>> options;
    for (const std::string_view name : names)
        options.emplace_back(name, name);
    return options;
}

std::string choice_of(const Asked& asked, const Mistakes& mistakes, std::string_view name,
                      std::string_view label,
                      std::vector<std::pair<std::string, std::string>> options) {
    const std::string& wrong = mistakes.of(std::string(name));
    // What is wrong stands in a part, so that typing elsewhere leaves the choice alone.
    return element("div", choice({name, label, std::move(options), asked.query.get(name)}) +
                              part("wrong-" + std::string(name), wrong.empty() ? "" : text(wrong),
                                   "span", "class=\"wrong\""));
}

/// The short answer names an option of the command line, where a page unfolds what it means.
std::string as_page_says(std::string report) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 2> words = {
        {{"(more: --detail)", "(more below, in detail)"}, {": --detail", ": below, in detail"}}};
    for (const auto& [said, instead] : words)
        for (std::size_t at = report.find(said); at != std::string::npos;
             at = report.find(said, at))
            report.replace(at, said.size(), instead);
    return report;
}

std::string criteria_boxes(const Asked& asked) {
    const std::vector<std::string> ticked = asked.query.all("criteria");
    std::string boxes;
    for (const Criterion& criterion : published_criteria()) {
        const bool is_ticked = std::ranges::find(ticked, criterion.id) != ticked.end();
        boxes += fmt::format(
            "<label class=\"box\"><input type=\"checkbox\" name=\"criteria\" "
            "value=\"{0}\"{1}> {0}</label>\n",
            escaped(criterion.id), is_ticked ? " checked" : "");
    }
    return fmt::format(
        "<details id=\"fold-criteria\"{}>\n<summary>Criteria: {}</summary>\n"
        "<p class=\"hint\">None ticked: every published one for the role.</p>\n{}"
        "</details>\n",
        ticked.empty() ? "" : " open",
        ticked.empty() ? "every published one for the role" : "those ticked", boxes);
}

std::string earlier_cards(const Opened& desk, const Asked& asked, const Sounds& sounds,
                          const ReviewSubject& subject, const Mistakes& mistakes) {
    std::vector<std::pair<std::string, std::string>> cards = {{"", "none: it replaces no other"}};
    for (const overview::ListedCard& one : sounds.list.cards) {
        const std::string file = name_below(desk, one.file);
        if (file != subject.file)
            cards.emplace_back(file, fmt::format("{} ({})", one.card.title, file));
    }
    return choice_of(asked, mistakes, "against", "Against the card that it replaces",
                     std::move(cards));
}

std::string terms_form(const Opened& desk, const Asked& asked, const Sounds& sounds,
                       const ReviewSubject& subject, const Mistakes& mistakes) {
    FormState state{.fields = {}, .mistakes = mistakes};
    for (const std::string& name : options_as_typed())
        state.values[name] = asked.query.get(name);
    const ReviewTerms usual;
    std::vector<std::pair<std::string, std::string>> catalogues = {
        {"", "none: nothing worn alone"}};
    for (const overview::ListedCatalogue& one : sounds.list.catalogues)
        catalogues.emplace_back(name_below(desk, one.file), name_below(desk, one.file));
    std::vector<std::pair<std::string, std::string>> whom, roles = {{"", "as for whom"}};
    for (const auto& option : named_options(age_groups.names()))
        whom.push_back(option);
    whom.emplace_back("staff", "staff");
    for (const auto& option : named_options(role_rows.names()))
        roles.push_back(option);
    auto methods = named_options(method_rows.names());
    methods.insert(methods.begin(), {"best", "best that the data allow"});
    const auto typed = [&](const char* name, std::string_view label, const std::string& hint) {
        return live_field(name, label, state, hint);
    };
    const double percent = 100.0;
    std::string fields =
        choice_of(asked, mistakes, "protectors", "Protectors that are kept", catalogues) +
        choice_of(asked, mistakes, "for", "For whom", whom) +
        choice_of(asked, mistakes, "role", "Role", roles) +
        typed("sessions-per-day", "Sessions a day with it",
              fmt::format("{} when left out", usual.sessions_per_day)) +
        typed("days-per-week", "Such days in a week",
              fmt::format("{:g} when left out", usual.days_per_week)) +
        typed("at-least", "Time a day that must be permitted",
              fmt::format("{} when left out", text_of(usual.least_time))) +
        choice_of(asked, mistakes, "method", "Method of the reduction", methods) +
        typed("derating", "Derating of labels",
              "none when left out; a name as in plans, or a number of dB") +
        typed("protection-performance", "People protected, percent",
              fmt::format("{:g} when left out", PredictionRules().performance.percent())) +
        typed("accepted-probability", "Accepted probability of being over, percent",
              fmt::format("{:g} when left out", percent * usual.policy.accepted_probability)) +
        earlier_cards(desk, asked, sounds, subject, mistakes);
    return get_form(
        "/review",
        hidden("id", subject.card.card.id) + hidden("file", subject.file) +
            element("div", "fields", "\n" + fields) + criteria_boxes(asked) +
            element("div", "acts", "\n" + button("Review by these terms", {}, {}, {}, "main")),
        "data-answers class=\"editing\"");
}

/// The same question once more, as an address.
std::string document_address(const Asked& asked) {
    std::string query;
    for (const auto& [name, value] : asked.query.fields())
        query += fmt::format("{}{}={}", query.empty() ? "?" : "&", serving::in_address(name),
                             serving::in_address(value));
    return "/review/document" + query;
}

/// Unless something else was chosen, what plans of the folder use.
Asked with_usual_catalogue(const Asked& asked, const Opened& desk, const Sounds& sounds) {
    Asked whole = asked;
    if (!asked.query.has("protectors") && !sounds.list.catalogues.empty())
        whole.query.add("protectors", name_below(desk, catalogue_named(desk, sounds, "").file));
    return whole;
}

Reply review_choice(const Asked& asked, const Opened& desk, const Sounds& sounds) {
    std::string items;
    for (const overview::ListedCard& one : sounds.list.cards)
        items += element("li",
                         link(fmt::format("/review?id={}&file={}", serving::in_address(one.card.id),
                                          serving::in_address(name_below(desk, one.file))),
                              one.card.title));
    return framed(asked,
                  {.here = "/sounds",
                   .title = "Which card is reviewed?",
                   .main = items.empty() ? element("p", "No card can be read in this folder.")
                                         : element("ul", "plain", "\n" + items)});
}

Reply review_page(const Opened& desk, const Asked& bare, const Parts& /*parts*/) {
    files::TextInputs inputs = inputs_of(desk);
    const Sounds sounds = sounds_of(desk, inputs);
    if (!bare.query.filled("id")) return review_choice(bare, desk, sounds);
    const Asked asked = with_usual_catalogue(bare, desk, sounds);
    const ReviewSubject subject = subject_of(desk, asked, sounds);
    const ChildAnswer made = review_made(desk, subject);
    const std::string report = main_of_report(made.output);
    const Mistakes mistakes =
        report.empty() ? mistakes_told(made, "review", options_of_review()) : Mistakes();
    std::string outcome;
    if (report.empty())
        outcome = element("p", "wrong", "Not reviewed: the terms have mistakes.") +
                  report::html::list_of(mistakes.others);
    else
        outcome =
            element(
                "p", "acts",
                "\n" + link(document_address(asked), "Document to print and sign", "act") + "\n") +
            report::html::list_of(notes_told(made)) + as_page_says(report);
    return framed(asked,
                  {.here = "/sounds",
                   .title = "Review: " + subject.card.card.title,
                   .main = element("p", "acts",
                                   "\n" +
                                       link(address_of_card(subject.card.card.id, subject.file),
                                            "The card", "act") +
                                       "\n") +
                           section("terms", 2, "Terms of the review",
                                   terms_form(desk, asked, sounds, subject, mistakes)) +
                           part("review", outcome)},
                  report.empty() ? 422 : 200);
}

/// The whole document, as the command line writes it.
Reply review_document_page(const Opened& desk, const Asked& bare, const Parts& /*parts*/) {
    files::TextInputs inputs = inputs_of(desk);
    const Sounds sounds = sounds_of(desk, inputs);
    const Asked asked = with_usual_catalogue(bare, desk, sounds);
    const ChildAnswer made = review_made(desk, subject_of(desk, asked, sounds));
    if (!main_of_report(made.output).empty()) return Reply::page(made.output);
    std::vector<std::string> why = mistakes_told(made, "review", {}).others;
    return refused(asked, 422, "There is no review by these terms", why);
}

}  // namespace

std::vector<Route> review_routes() {
    return {{"GET", "/review", review_page}, {"GET", "/review/document", review_document_page}};
}

}  // namespace earbudget::desk
