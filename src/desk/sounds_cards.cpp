#include "desk/sounds_cards.hpp"

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/sounds_list.hpp"
#include "desk/studies.hpp"
#include "files/study_files.hpp"

namespace earbudget::desk {

namespace {

using report::html::element;
using report::html::section;
using report::html::text;

/// What is to be known of a card before it is used once more.
std::string card_standing(const Opened& desk, const overview::ListedCard& one) {
    std::string words = element("p", "soft", text(name_below(desk, one.file)));
    std::string state = fmt::format("This card is {}", name_of(one.state));
    if (!one.superseded_by.empty())
        state += fmt::format(": {} stands for it now", fmt::join(one.superseded_by, ", "));
    if (one.state == CardState::Stale) state += ": valid until " + one.card.valid_until;
    if (one.age_days && *one.age_days >= 0)
        state += fmt::format("; its levels are {} days old", *one.age_days);
    words += element("p", one.state == CardState::Current ? "plain" : "wrong", text(state + "."));
    words += element("p", users_markup(desk, one.used_by));
    if (!one.missing.empty())
        words +=
            element("p", text(fmt::format("It does not state: {}.", fmt::join(one.missing, ", "))));
    return words;
}

std::string origin_terms(const Sequence& card) {
    report::Definitions terms;
    for (const OriginRow& row : origin_rows) {
        std::string value;
        if (const auto* plain = std::get_if<std::string Origin::*>(&row.member))
            value = card.origin.**plain;
        if (const auto* number = std::get_if<std::optional<unsigned> Origin::*>(&row.member))
            if (card.origin.**number) value = fmt::format("{}", *(card.origin.**number));
        if (const auto* time = std::get_if<std::optional<Seconds> Origin::*>(&row.member))
            if (card.origin.**time) value = fmt::format("{:g}", (card.origin.**time)->count());
        if (!value.empty()) terms.entries.emplace_back(std::string(row.doc), value);
    }
    if (terms.entries.empty())
        return element("p", "The card does not say where its levels come from.");
    return report::as_markup({{terms}});
}

std::string card_links(const Opened& desk, const overview::ListedCard& one) {
    const std::string name = serving::in_address(name_below(desk, one.file));
    const std::string id = serving::in_address(one.card.id);
    return element(
        "p", "acts",
        "\n" +
            link(fmt::format("/review?id={}&file={}", id, name), "Review by the committee", "act") +
            "\n" + link("/sounds", "All sequences and protectors", "act") + "\n");
}

std::string what_was_done(const Opened& desk, const Asked& asked, const overview::ListedCard& one) {
    const std::string& said = asked.query.get("said");
    if (said == "new") return "The card is kept in " + name_below(desk, one.file) + ".";
    if (said != "saved") return "";
    if (one.used_by.empty()) return "Saved. No plan of this folder uses the card.";
    std::string plans;
    for (const std::string& plan : one.used_by)
        plans += (plans.empty() ? "" : ", ") + name_below(desk, plan);
    return fmt::format("Saved. Answered anew with this card from now on: {}.", plans);
}

std::string changes_words(std::size_t changes) {
    return changes == 0 ? "Nothing is changed yet."
           : changes == 1
               ? "One value is changed; the card reads without mistakes."
               : fmt::format("{} values are changed; the card reads without mistakes.", changes);
}

}  // namespace

Reply card_page(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    files::TextInputs inputs = inputs_of(desk);
    const Sounds sounds = sounds_of(desk, inputs);
    const Form& named = asked.is_post() ? asked.form : asked.query;
    const overview::ListedCard& one =
        card_named(desk, sounds, named.get(asked.is_post() ? "card" : "id"), named.get("file"));
    const std::string file = name_below(desk, one.file);
    const std::string& now = inputs.text(one.file, {one.file});
    CardDraft draft = card_draft(desk, one.file, now, asked.is_post() ? &asked.form : nullptr,
                                 false, asked.is_post() ? one.used_by : std::vector<std::string>());
    std::vector<std::string> said;
    if (std::string done = what_was_done(desk, asked, one); !done.empty() && !asked.is_post())
        said.push_back(std::move(done));
    const std::string hash = inputs.sha256(one.file);
    const bool changed = asked.is_post() && asked.form.get("was") != hash;
    int status = 200;
    if (changed) {
        draft.state.elsewhere = shown_values(files::parse_toml(now, one.file), draft.state.fields);
        said.emplace_back(changed_meanwhile);
        status = 409;
    } else if (is_to_save(asked) && draft.card && draft.state.mistakes.none()) {
        if (draft.changes == 0 || save_text(desk, one.file, draft.text, hash))
            return Reply::see(address_of_card(one.card.id, file) + "&said=saved");
        said.emplace_back(changed_meanwhile);
        status = 409;
    } else if (is_to_save(asked)) {
        status = 422;
    }
    const std::string form = checked_form(
        asked, "/sounds/card",
        hidden("card", one.card.id) + hidden("file", file) + hidden("was", hash) +
            card_fieldsets(draft.state) + outcome_part(draft.state, changes_words(draft.changes)),
        "Save the card");
    const std::string main =
        card_standing(desk, one) + card_links(desk, one) +
        section("levels-of-card", 2, "Levels", draft_levels(draft)) +
        section("origin", 2, "Where the levels come from", origin_terms(one.card)) +
        section("change", 2, "Change this card",
                element("p", text(fmt::format("Plans know the card as \"{}\"; that stays. Comments "
                                              "in the file stay where they are.",
                                              one.card.id))) +
                    form);
    return framed(asked, {.here = "/sounds", .title = one.card.title, .main = main, .said = said},
                  status);
}

Reply new_card_page(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    constexpr std::string_view base =
        "kind = \"sequence\"\nformat = 1\n\n[origin]\nhow = \"entered\"\n";
    CardDraft draft = card_draft(desk, desk.folder + "/new-card.toml", std::string(base),
                                 asked.is_post() ? &asked.form : nullptr, true);
    int status = 200;
    if (!asked.is_post()) {
        draft.state.mistakes = {};
        draft.card.reset();
    } else {
        const std::string path = new_card_path(desk, asked.form, draft);
        if (is_to_save(asked) && draft.card && draft.state.mistakes.none())
            return save_new_card(desk, *draft.card, path);
        if (is_to_save(asked)) status = 422;
    }
    const std::string form = checked_form(
        asked, "/sounds/new",
        card_fieldsets(draft.state) + folder_choice(desk, asked.form) +
            outcome_part(draft.state, asked.is_post()
                                          ? "The card reads without mistakes and can be saved."
                                          : "An id and LAeq are enough. The rest makes answers "
                                            "surer, and says where they come from."),
        "Save as a new card");
    return framed(asked,
                  {.here = "/sounds",
                   .title = "A card from stated levels",
                   .main = element("p",
                                   "For levels from a document, a colleague or an earlier "
                                   "measurement. A recording is better: measure it and save "
                                   "the card there.") +
                           section("new", 2, "What is stated", form) +
                           section("levels-of-card", 2, "What it comes to", draft_levels(draft))},
                  status);
}

}  // namespace earbudget::desk
