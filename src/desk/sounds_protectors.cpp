#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/sounds_bands.hpp"
#include "desk/sounds_cards.hpp"
#include "desk/sounds_drawing.hpp"
#include "desk/sounds_list.hpp"
#include "desk/studies.hpp"
#include "earbudget/choice/check_ratings.hpp"
#include "files/study_files.hpp"

namespace earbudget::desk {

namespace {

using report::html::element;
using report::html::section;
using report::html::text;

/// A catalogue in the making, and the protector of it that is on the page.
struct ProtectorDraft {
    FormState state;
    std::string text = {};
    std::size_t changes = 0;
    std::optional<Catalogue> catalogue = std::nullopt;
};

editing::Path place_of_protector(std::size_t index) { return {std::string("protector"), index}; }

/// Reads what is typed of the protector at an index, a new one where `is_new`.
ProtectorDraft protector_draft(const Opened& desk, const std::string& path, const std::string& base,
                               const Form* form, std::size_t index, bool is_new,
                               const std::vector<std::string>& plans) {
    const editing::Path place = place_of_protector(index);
    ProtectorDraft draft{
        {fields_of(files::protector_keys, place,
                   is_new ? std::vector<std::string_view>() : std::vector<std::string_view>{"id"})},
        base};
    FormState& state = draft.state;
    state.places = [place](const files::TomlTable& document) {
        return band_places(document, place);
    };
    Typed shown;
    if (!is_new) {
        const files::TomlTable document = files::parse_toml(base, path);
        shown = shown_values(document, state.fields);
        show_bands(document, place, shown);
    }
    state.values = shown;
    if (!form) {
        draft.catalogue = is_new ? std::nullopt
                                 : std::optional(files::read_protector_catalogue(
                                       files::parse_toml(base, path), path));
        return draft;
    }
    for (auto& [name, value] : typed_values(*form, state.fields))
        state.values[name] = std::move(value);
    take_bands(*form, state.values);
    if (is_new) shown["id"] = state.values["id"];
    std::vector<editing::Edit> edits = edits_between(shown, state.values, state.fields);
    const std::vector<editing::Edit> of_bands = band_edits(shown, place, state);
    draft.changes = edits.size() + (of_bands.empty() ? 0 : 1);
    edits.insert(edits.end(), of_bands.begin(), of_bands.end());
    if (is_new)
        edits.insert(
            edits.begin(),
            editing::InsertEntry{{std::string("protector")}, index, {{"id", state.values["id"]}}});
    try {
        draft.text = editing::edited(base, edits, path);
    } catch (const InputError& error) {
        state.mistakes.others.push_back(error.message());
        return draft;
    }
    if (!state.mistakes.none()) return draft;
    static_cast<void>(
        reads_well(desk, path, draft.text, plans, state, [&](files::TextInputs& inputs) {
            draft.catalogue = files::read_protector_catalogue(path, inputs);
        }));
    return draft;
}

bool is_rating(const KeyField& field) {
    return std::ranges::any_of(rating_rows,
                               [&](const RatingRow& row) { return row.name == field.key->name; });
}

std::string protector_fieldsets(const FormState& state) {
    std::string itself, ratings;
    for (const KeyField& field : state.fields)
        (is_rating(field) ? ratings : itself) += key_field(field, state);
    const auto set = [](std::string_view legend, const std::string& fields) {
        return fmt::format("<fieldset>\n<legend>{}</legend>\n{}</fieldset>\n", legend, fields);
    };
    return set("The protector", element("div", "fields", "\n" + itself)) +
           set("Attenuation by octave band (ISO 4869-1:2018): mean and standard deviation between "
               "people",
               band_fields(state)) +
           set("Ratings on its label", element("div", "fields", "\n" + ratings));
}

/// Ratings as stated and as they follow from the bands, and the drawing of these.
std::string protector_data(const Catalogue& catalogue, std::size_t index) {
    const Protector& protector = catalogue.protectors.at(index).protector;
    const RatingsCheck check = check_ratings(catalogue);
    const auto checked = std::ranges::find_if(check.protectors, [&](const CheckedRatings& one) {
        return one.ids.front() == protector.id;
    });
    report::Table table{"Ratings",
                        {{.key = "rating", .title = "rating", .number = false},
                         {"stated_dB", "stated", "dB"},
                         {"computed_dB", "computed from the bands", "dB"}}};
    const Ratings from_bands = checked == check.protectors.end() ? Ratings() : checked->computed;
    for (const RatingRow& row : rating_rows) {
        const auto& stated = protector.ratings.*row.value;
        const auto& computed = from_bands.*row.value;
        if (!stated && !computed) continue;
        const auto number = [](const auto& level) {
            return level ? std::optional(level->dB()) : std::nullopt;
        };
        table.rows.push_back({{std::string(row.name), report::Cell(number(stated), "not stated"),
                               report::Cell(number(computed), "–")}});
    }
    std::vector<report::Block> ratings;
    if (table.rows.empty())
        ratings.push_back(
            {report::Paragraph{"Neither bands nor ratings are stated: nothing can be "
                               "counted on."}});
    else
        ratings.push_back({std::move(table)});
    std::vector<report::Block> drawing;
    if (protector.octave) drawing = attenuation_blocks("bands", protector.id, *protector.octave);
    if (drawing.empty())
        drawing.push_back({report::Paragraph{"No attenuation by octave band is stated."}});
    return report::as_markup({{report::Beside{"pair", {ratings, drawing}}}});
}

std::string data_part(const ProtectorDraft& draft, std::size_t index) {
    return part("levels", draft.catalogue && index < draft.catalogue->protectors.size()
                              ? protector_data(*draft.catalogue, index)
                              : element("p", "Shown once it reads without mistakes."));
}

std::string removal_form(const Asked& asked, const FoundProtector& found, const std::string& file,
                         const std::string& hash) {
    const std::string id = found.catalogue.protectors[found.index].protector.id;
    const std::string fields =
        hidden("protector", id) + hidden("file", file) + hidden("was", hash) +
        element("div", "acts",
                "\n" + button("Take it out of the catalogue", "do", "remove", {}, "grave"));
    return "<details>\n<summary>It is kept no longer</summary>\n" +
           post_form(asked, "/sounds/protector", fields) + "</details>\n";
}

/// Takes it out, where every plan still reads; else says why not.
std::optional<Reply> removed(const Opened& desk, const FoundProtector& found,
                             const std::string& base, const std::string& hash, FormState& state) {
    try {
        const std::string text_of_file = editing::edited(
            base, {editing::RemoveEntry{{std::string("protector")}, found.index}}, found.file);
        const bool well = reads_well(
            desk, found.file, text_of_file, found.used_by, state, [&](files::TextInputs& inputs) {
                static_cast<void>(files::read_protector_catalogue(found.file, inputs));
            });
        if (well && save_text(desk, found.file, text_of_file, hash))
            return Reply::see("/sounds?said=removed");
    } catch (const InputError& error) {
        state.mistakes.others.push_back(error.message());
    }
    return std::nullopt;
}

std::string answered_anew(const Opened& desk, const std::vector<std::string>& plans) {
    std::string names;
    for (const std::string& plan : plans)
        names += (names.empty() ? "" : ", ") + name_below(desk, plan);
    return names.empty() ? "Saved. No plan of this folder uses the catalogue."
                         : fmt::format("Saved. Answered anew with it from now on: {}.", names);
}

std::string well_words(const ProtectorDraft& draft) {
    return draft.changes == 0 ? "Nothing is changed yet."
                              : fmt::format(
                                    "{} value{} changed; the catalogue reads without "
                                    "mistakes.",
                                    draft.changes, draft.changes == 1 ? " is" : "s are");
}

}  // namespace

Reply protector_page(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    files::TextInputs inputs = inputs_of(desk);
    const Sounds sounds = sounds_of(desk, inputs);
    const Form& named = asked.is_post() ? asked.form : asked.query;
    const FoundProtector found = protector_named(
        desk, sounds, named.get(asked.is_post() ? "protector" : "id"), named.get("file"), inputs);
    const Protector& protector = found.catalogue.protectors[found.index].protector;
    const std::string file = name_below(desk, found.file);
    const std::string& now = inputs.text(found.file, {found.file});
    const std::string hash = inputs.sha256(found.file);
    const bool removes = asked.is_post() && !asked.by_script && asked.form.get("do") == "remove";
    const Form* typed = asked.is_post() && !removes ? &asked.form : nullptr;
    ProtectorDraft draft =
        protector_draft(desk, found.file, now, typed, found.index, false, found.used_by);
    std::vector<std::string> said;
    int status = 200;
    if (!asked.is_post()) {
        if (asked.query.get("said") == "saved") said.push_back(answered_anew(desk, found.used_by));
    } else if (asked.form.get("was") != hash) {
        const files::TomlTable document = files::parse_toml(now, found.file);
        draft.state.elsewhere = shown_values(document, draft.state.fields);
        show_bands(document, place_of_protector(found.index), draft.state.elsewhere);
        said.emplace_back(changed_meanwhile);
        status = 409;
    } else if (removes) {
        if (auto done = removed(desk, found, now, hash, draft.state)) return *std::move(done);
        status = 422;
    } else if (is_to_save(asked)) {
        status = 422;
        if (draft.catalogue && draft.state.mistakes.none()) {
            if (draft.changes == 0 || save_text(desk, found.file, draft.text, hash))
                return Reply::see(address_of_protector(protector.id, file) + "&said=saved");
            said.emplace_back(changed_meanwhile);
            status = 409;
        }
    }
    const std::string form = checked_form(
        asked, "/sounds/protector",
        hidden("protector", protector.id) + hidden("file", file) + hidden("was", hash) +
            protector_fieldsets(draft.state) + outcome_part(draft.state, well_words(draft)),
        "Save the protector");
    const std::string links =
        link("/sounds/ratings?file=" + serving::in_address(file), "Check the catalogue", "act") +
        "\n" + link("/sounds", "All sequences and protectors", "act") + "\n";
    return framed(asked,
                  {.here = "/sounds",
                   .title = protector.title,
                   .main = element("p", "soft", text(fmt::format("{} in {}", protector.id, file))) +
                           element("p", users_markup(desk, found.used_by)) +
                           element("p", "acts", "\n" + links) +
                           section("data", 2, "What it keeps off", data_part(draft, found.index)) +
                           section("change", 2, "Change this protector", form) +
                           removal_form(asked, found, file, hash),
                   .said = said},
                  status);
}

Reply new_protector_page(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    files::TextInputs inputs = inputs_of(desk);
    const Sounds sounds = sounds_of(desk, inputs);
    const Form& named = asked.is_post() ? asked.form : asked.query;
    const overview::ListedCatalogue& into = catalogue_named(desk, sounds, named.get("file"));
    const std::string file = name_below(desk, into.file);
    const std::size_t index = files::read_protector_catalogue(into.file, inputs).protectors.size();
    const std::string& now = inputs.text(into.file, {into.file});
    const std::string hash = inputs.sha256(into.file);
    ProtectorDraft draft = protector_draft(
        desk, into.file, now, asked.is_post() ? &asked.form : nullptr, index, true, into.used_by);
    int status = 200;
    if (is_to_save(asked)) {
        if (draft.catalogue && draft.state.mistakes.none() &&
            save_text(desk, into.file, draft.text, hash))
            return Reply::see(address_of_protector(draft.state.values["id"], file) + "&said=saved");
        status = 422;
    }
    const std::string form = checked_form(
        asked, "/sounds/protector/new",
        hidden("file", file) + protector_fieldsets(draft.state) +
            outcome_part(draft.state, asked.is_post()
                                          ? "It reads without mistakes and can be saved."
                                          : "An id, a type and what stands on the label "
                                            "are enough; bands say more."),
        "Save as a new protector");
    return framed(asked,
                  {.here = "/sounds",
                   .title = "A new protector",
                   .main = element("p", "soft", text("In " + file)) +
                           section("new", 2, "What is stated of it", form) +
                           section("data", 2, "What it comes to", data_part(draft, index))},
                  status);
}

}  // namespace earbudget::desk
