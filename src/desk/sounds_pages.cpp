#include <algorithm>

#include <fmt/format.h>

#include "answers/record_of.hpp"
#include "desk/frame.hpp"
#include "desk/sounds_cards.hpp"
#include "desk/sounds_list.hpp"
#include "desk/studies.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/choice/check_ratings.hpp"
#include "files/study_files.hpp"
#include "report/reports.hpp"

namespace earbudget::desk {

namespace {

using report::html::element;
using report::html::escaped;
using report::html::section;
using report::html::text;

constexpr std::size_t cards_a_page = 100;  // own choice: some 90 kB

/// A column with the look of its cells.
struct LinkedColumn {
    std::string_view title, look;
};

/// A table whose cells are markup; the first of each row names it.
std::string linked_table(std::string_view name, const std::vector<LinkedColumn>& columns,
                         const std::vector<std::vector<std::string>>& rows) {
    const auto look = [](std::string_view css) {
        return css.empty() ? std::string() : fmt::format(" class=\"{}\"", css);
    };
    std::string head, body;
    for (const LinkedColumn& column : columns)
        head += fmt::format("<th scope=\"col\"{}>{}</th>", look(column.look), column.title);
    for (const auto& row : rows) {
        body += "<tr><th scope=\"row\">" + row.front() + "</th>";
        for (std::size_t n = 1; n < row.size(); ++n)
            body += fmt::format("<td{} data-label=\"{}\"><div>{}</div></td>", look(columns[n].look),
                                columns[n].title, row[n]);
        body += "</tr>\n";
    }
    return fmt::format(
        "<div class=\"wide fold\" role=\"region\" aria-label=\"{0}\" "
        "tabindex=\"0\">\n<table>\n<caption>{0}</caption>\n<thead>\n<tr>{1}</tr>\n"
        "</thead>\n<tbody>\n{2}</tbody>\n</table>\n</div>\n",
        name, head, body);
}

std::string plan_names(const Opened& desk, const std::vector<std::string>& plans) {
    std::string names;
    for (const std::string& plan : plans) {
        const std::string name = name_below(desk, plan);
        names +=
            (names.empty() ? "" : ", ") + link("/report?plan=" + serving::in_address(name), name);
    }
    return names.empty() ? "no plan" : names;
}

std::string state_words(const overview::ListedCard& one) {
    std::string words(name_of(one.state));
    if (one.state == CardState::Stale) words += fmt::format(" since {}", one.card.valid_until);
    if (!one.superseded_by.empty())
        words += fmt::format(" by {}", fmt::join(one.superseded_by, ", "));
    return one.state == CardState::Current ? text(words) : element("span", "wrong", text(words));
}

std::vector<std::string> card_row(const Opened& desk, const overview::ListedCard& one) {
    const Sequence& card = one.card;
    const std::string file = name_below(desk, one.file);
    std::string date = card.origin.when;
    if (one.age_days && *one.age_days >= 0) date += fmt::format(", {} days ago", *one.age_days);
    return {
        link(address_of_card(card.id, file), card.id) + "<br>" + text(card.title),
        text(decimal_text(card.levels.LAeq.dB(), 1)),
        text(card.origin.how.empty() ? "not said" : card.origin.how),
        text(date.empty() ? "not said" : date),
        state_words(one),
        plan_names(desk, one.used_by),
        text(one.missing.empty() ? "nothing" : fmt::format("{}", fmt::join(one.missing, ", ")))};
}

std::size_t first_asked_for(const Asked& asked, std::size_t count) {
    const auto number = typed_number(asked.query.get("from"));
    if (!number || !(*number >= 0.0) || *number >= static_cast<double>(count)) return 0;
    return static_cast<std::size_t>(*number);
}

std::string cards_table(const Opened& desk, const Asked& asked, const overview::CardList& list) {
    if (list.cards.empty()) return element("p", "No sequence card can be read in this folder.");
    const std::size_t from = first_asked_for(asked, list.cards.size());
    const std::size_t to = std::min(from + cards_a_page, list.cards.size());
    std::vector<std::vector<std::string>> rows;
    for (std::size_t n = from; n < to; ++n)
        rows.push_back(card_row(desk, list.cards[n]));
    std::string further;
    if (from > 0)
        further += link(fmt::format("/sounds?from={}", from - std::min(from, cards_a_page)),
                        "Earlier cards", "act") +
                   "\n";
    if (to < list.cards.size())
        further += link(fmt::format("/sounds?from={}", to), "Further cards", "act");
    return linked_table("Sequence cards",
                        {{"card", ""},
                         {"LAeq, dB(A)", "n"},
                         {"levels are", ""},
                         {"date", ""},
                         {"state", ""},
                         {"used by", ""},
                         {"not stated", ""}},
                        rows) +
           (further.empty() ? "" : element("p", "acts", further));
}

std::string yes_or_no(const std::optional<bool>& flag) {
    return !flag ? "not stated" : *flag ? "yes" : "no";
}

std::vector<std::string> protector_row(const Protector& protector, const std::string& file) {
    std::vector<std::string> ratings;
    for (const RatingRow& row : rating_rows)
        if (const auto& value = protector.ratings.*row.value)
            ratings.push_back(fmt::format("{} {}", row.name, decimal_text(value->dB(), 0)));
    const std::size_t bands = protector.octave ? protector.octave->bands().count() : 0;
    return {link(address_of_protector(protector.id, file), protector.id) + "<br>" +
                text(protector.title),
            text(name_of(protector.type)),
            text(yes_or_no(protector.fits_head_coil)),
            text(yes_or_no(protector.metal_free)),
            text(bands == 0 ? "not stated" : fmt::format("{} bands", bands)),
            text(ratings.empty() ? "not stated" : fmt::format("{}", fmt::join(ratings, ", ")))};
}

std::string catalogue_section(const Opened& desk, const overview::ListedCatalogue& one,
                              std::size_t number, files::TextInputs& inputs) {
    const std::string file = name_below(desk, one.file);
    const std::string named = "?file=" + serving::in_address(file);
    std::string content = element("p", users_markup(desk, one.used_by));
    try {
        const Catalogue catalogue = files::read_protector_catalogue(one.file, inputs);
        std::vector<std::vector<std::string>> rows;
        for (const CatalogueEntry& entry : catalogue.protectors)
            rows.push_back(protector_row(entry.protector, file));
        content += linked_table("Protectors",
                                {{"protector", ""},
                                 {"type", ""},
                                 {"fits the head coil", ""},
                                 {"free of metal", ""},
                                 {"attenuation", ""},
                                 {"ratings, dB", ""}},
                                rows);
        if (!catalogue.pairs.empty())
            content += element(
                "p", text(fmt::format("{} pair{} measured together.", catalogue.pairs.size(),
                                      catalogue.pairs.size() == 1 ? "" : "s")));
        content +=
            element("p", "acts",
                    "\n" + link("/sounds/ratings" + named, "Check the ratings", "act") + "\n" +
                        link("/sounds/protector/new" + named, "Add a protector", "act") + "\n");
    } catch (const InputError&) {
        content += element("p", "wrong", "It cannot be read; what is wrong stands above.");
    }
    return section(fmt::format("catalogue-{}", number), 2, text("Protectors in " + file), content);
}

/// Mistakes of catalogues, which no list of cards reads.
void add_mistakes_of_catalogues(const Sounds& sounds, files::TextInputs& inputs,
                                std::vector<std::string>& wrong) {
    const auto add = [&](const std::string& words) {
        add_once(words, wrong);
    };
    for (const overview::ListedCatalogue& one : sounds.list.catalogues) {
        try {
            static_cast<void>(files::read_protector_catalogue(one.file, inputs));
        } catch (const files::InputErrors& errors) {
            for (const std::string& words : words_of(errors))
                add(words);
        } catch (const InputError& error) {
            add(error.what());
        }
    }
}

Reply sounds_page(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    files::TextInputs inputs = inputs_of(desk);
    const Sounds sounds = sounds_of(desk, inputs);
    std::vector<std::string> wrong = sounds.wrong;
    add_mistakes_of_catalogues(sounds, inputs, wrong);
    std::string main;
    if (!wrong.empty())
        main +=
            section("wrong", 2, "What cannot be read",
                    element("p", "wrong", "Until this is put right, these files are left out.") +
                        report::html::list_of(wrong));
    main += section("sequences", 2, "Sequences",
                    element("p", "acts",
                            "\n" + link("/measure", "Measure a recording", "act") + "\n" +
                                link("/sounds/new", "Enter stated levels", "act") + "\n") +
                        cards_table(desk, asked, sounds.list));
    std::size_t number = 0;
    for (const overview::ListedCatalogue& one : sounds.list.catalogues)
        main += catalogue_section(desk, one, ++number, inputs);
    std::vector<std::string> said;
    if (asked.query.get("said") == "removed") said.emplace_back("The protector was taken out.");
    return framed(
        asked,
        {.here = "/sounds", .title = "Sequences and protectors", .main = main, .said = said});
}

Reply ratings_page(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    files::TextInputs inputs = inputs_of(desk);
    const Sounds sounds = sounds_of(desk, inputs);
    const std::string path = catalogue_named(desk, sounds, asked.query.get("file")).file;
    const Catalogue catalogue = files::read_protector_catalogue(path, inputs);
    report::Record record = answers::record_of(today_here().date, {path}, inputs);
    answers::add_examples(record, {path}, inputs);
    const RatingsCheck check = check_ratings(catalogue);
    return framed(asked, {.here = "/sounds",
                          .title = "Ratings in " + name_below(desk, path),
                          .main = element("p", "acts",
                                          link("/sounds", "All sequences and protectors", "act")) +
                                  report::as_fragment(report::ratings_document(check, record))});
}

}  // namespace

std::vector<Route> sounds_routes() {
    return {{"GET", "/sounds", sounds_page},
            {"GET", "/sounds/card", card_page},
            {"POST", "/sounds/card", card_page},
            {"GET", "/sounds/new", new_card_page},
            {"POST", "/sounds/new", new_card_page},
            {"GET", "/sounds/protector", protector_page},
            {"POST", "/sounds/protector", protector_page},
            {"GET", "/sounds/protector/new", new_protector_page},
            {"POST", "/sounds/protector/new", new_protector_page},
            {"GET", "/sounds/ratings", ratings_page}};
}

}  // namespace earbudget::desk
