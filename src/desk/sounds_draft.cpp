#include <algorithm>
#include <filesystem>
#include <set>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/sounds_cards.hpp"
#include "desk/sounds_drawing.hpp"
#include "desk/sounds_list.hpp"
#include "desk/studies.hpp"
#include "files/ids.hpp"
#include "files/open_file.hpp"
#include "files/study_files.hpp"

namespace earbudget::desk {

namespace {

namespace fs = std::filesystem;

/// The names of files in a folder, in small letters, which a new one must not have.
std::set<std::string> names_taken_in(const fs::path& folder) {
    std::set<std::string> names;
    std::error_code missing;
    for (fs::directory_iterator entry(folder, missing), end; !missing && entry != end;
         entry.increment(missing)) {
        std::string name = entry->path().filename().string();
        for (char& letter : name)
            if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
        names.insert(std::move(name));
    }
    return names;
}

bool is_chosen_folder(const std::vector<std::string>& folders, const std::string& folder) {
    return std::ranges::find(folders, folder) != folders.end();
}

std::string chosen_folder(const Opened& desk, const Form& form, const Sounds& sounds) {
    const std::vector<std::string> folders = card_folders(desk, sounds);
    const std::string& asked_for = form.get("folder");
    return is_chosen_folder(folders, asked_for) ? asked_for : folders.front();
}

}  // namespace

std::vector<KeyField> card_fields(bool with_id) {
    std::vector<std::string_view> left_out = {"kind", "format", "origin.recording_sha256"};
    if (!with_id) left_out.emplace_back("id");
    std::vector<KeyField> fields = fields_of(files::card_file, {}, left_out);
    // What is told once a file is anybody's own stands last.
    std::ranges::stable_partition(
        fields, [](const KeyField& field) { return field.name != files::key_of_examples; });
    return fields;
}

CardDraft card_draft(const Opened& desk, const std::string& path, const std::string& base,
                     const Form* form, bool with_id, const std::vector<std::string>& plans) {
    CardDraft draft{{card_fields(with_id)}, base};
    FormState& state = draft.state;
    const Typed shown = shown_values(files::parse_toml(base, path), state.fields);
    state.values = shown;
    if (form) {
        for (auto& [name, value] : typed_values(*form, state.fields))
            state.values[name] = std::move(value);
        const auto edits = edits_between(shown, state.values, state.fields);
        draft.changes = edits.size();
        try {
            draft.text = editing::edited(base, edits, path);
        } catch (const InputError& error) {
            state.mistakes.others.emplace_back(error.message());
            return draft;
        }
    }
    static_cast<void>(
        reads_well(desk, path, draft.text, plans, state, [&](files::TextInputs& inputs) {
            files::SequenceFolders folders;
            draft.card = files::read_sequence_card_in_folder(path, inputs, folders).sequence;
        }));
    return draft;
}

std::string card_fieldsets(const FormState& state) {
    using report::html::element;
    const auto set = [&](std::string_view legend, const std::string& fields) {
        return "<fieldset>\n" + element("legend", legend) + "\n" + fields + "</fieldset>\n";
    };
    const bool has_parts = std::ranges::any_of(state.values, [](const auto& one) {
        return one.first.starts_with("levels.uncertainty_parts.") && !one.second.empty();
    });
    return set("The card", key_fields(state, "")) +
           set("Levels at the participant's ear position, nobody protected, averaged over one run",
               key_fields(state, "levels.") +
                   folded_fields(state, "levels.octave.", "Octave bands, unweighted",
                                 key_fields(state, "levels.octave.", "fields bands")) +
                   folded_fields(state, "levels.octave_A.",
                                 "Octave bands, A-weighted as measured (for tones near the edge "
                                 "of a band)",
                                 key_fields(state, "levels.octave_A.", "fields bands")) +
                   folded_fields(
                       state, "levels.uncertainty_parts.", "What the uncertainty is made of",
                       key_fields(state, "levels.uncertainty_parts.", "fields bands"), has_parts)) +
           set("Where the levels come from", key_fields(state, "origin."));
}

std::string draft_levels(const CardDraft& draft) {
    return part("levels", draft.card ? report::as_markup(level_blocks("bands", *draft.card))
                                     : report::html::element("p",
                                                             "Levels are shown once the card "
                                                             "reads without mistakes."));
}

std::string new_card_path(const Opened& desk, const Form& form, CardDraft& draft) {
    files::TextInputs inputs = inputs_of(desk);
    const Sounds sounds = sounds_of(desk, inputs);
    const std::string folder = chosen_folder(desk, form, sounds);
    const fs::path whole = (fs::path(desk.folder) / folder).lexically_normal();
    if (draft.card) {
        for (const overview::ListedCard& one : sounds.list.cards) {
            const bool same_folder =
                fs::path(files::folder_of(one.file)).lexically_normal() == whole;
            if (one.card.id == draft.card->id && same_folder)
                draft.state.mistakes.at["id"] = fmt::format(
                    "\"{}\" is also the id of {}; accepted: another id, or change "
                    "that card on its page",
                    one.card.id, name_below(desk, one.file));
        }
    }
    std::set<std::string> taken = names_taken_in(whole);
    const fs::path path =
        whole / files::file_name_of_card(draft.card ? draft.card->id : "card", taken);
    if (std::error_code missing;
        fs::exists(path, missing) && !draft.state.mistakes.at.contains("id"))
        draft.state.mistakes.at["id"] = fmt::format(
            "The file {} is there already; accepted: another id, or change that card on its page",
            name_below(desk, path.string()));
    return path.string();
}

std::string folder_choice(const Opened& desk, const Form& form) {
    files::TextInputs inputs = inputs_of(desk);
    const Sounds sounds = sounds_of(desk, inputs);
    Choice folders{"folder", "Folder of cards", {}, chosen_folder(desk, form, sounds)};
    for (const std::string& folder : card_folders(desk, sounds))
        folders.options.emplace_back(folder, folder == "." ? "this folder itself" : folder);
    return choice(folders);
}

Reply save_new_card(const Opened& desk, const Sequence& card, const std::string& path) {
    std::error_code ignored;
    fs::create_directory(files::folder_of(path), ignored);
    static_cast<void>(save_text(desk, path, files::write_sequence_card(card), ""));
    return Reply::see(address_of_card(card.id, name_below(desk, path)) + "&said=new");
}

}  // namespace earbudget::desk
