#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "earbudget/study/catalogue.hpp"
#include "earbudget/study/input_error.hpp"
#include "earbudget/study/plan.hpp"
#include "earbudget/study/sequence.hpp"
#include "files/error_list.hpp"
#include "files/ids.hpp"
#include "files/table_reader.hpp"
#include "files/text_inputs.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::files {

/// Reads a sequence card, kind = "sequence", which nothing else is read with. Throws InputError.
[[nodiscard]] Sequence read_sequence_card(const std::string& path);

/// The same from the content of the file at `path`.
[[nodiscard]] Sequence read_sequence_card(const TomlTable& document, const std::string& path);

/// The same, with mistakes listed where reading can go on; the result then is not to be used but
/// for its id.
[[nodiscard]] Sequence read_sequence_card(const TomlTable& document, const std::string& path,
                                          ErrorList& errors);

/// The text of a card that reads back to the same sequence, levels to a thousandth of a decibel.
[[nodiscard]] std::string write_sequence_card(const Sequence& sequence);

/// Whether a file of a folder of cards is read, by its name: *.toml, not hidden.
[[nodiscard]] bool is_read_in_folder(const std::filesystem::path& path);

/// Reads every sequence card of a folder, *.toml in the order of their names; plans and catalogues
/// that lie among them are passed over. `named_at` is where the folder was named.
/// A card with `spectrum_like` has the octave bands of the card that it names.
/// Throws InputError where there is no such folder; a file that is no card and two cards with one
/// id and a `spectrum_like` that cannot be followed go to the list.
[[nodiscard]] std::vector<Sequence> read_sequence_folder(const std::string& folder,
                                                         const SourcePosition& named_at,
                                                         TextInputs& inputs, ErrorList& errors);

/// Folders that were read for a card in them, by their names.
using SequenceFolders = std::map<std::string, std::vector<Sequence>>;

/// A card, and the other files that its bands come from.
struct CardInFolder {
    Sequence sequence;
    std::vector<std::string> others;
};

/// One card as it is read with all others of its folder: where `spectrum_like` names another card,
/// that one is looked for there. A folder is read once.
[[nodiscard]] CardInFolder read_sequence_card_in_folder(const std::string& path, TextInputs& inputs,
                                                        SequenceFolders& folders);

/// Reads a protector catalogue, kind = "protectors"; it may be empty. Throws InputError.
[[nodiscard]] Catalogue read_protector_catalogue(const std::string& path, TextInputs& inputs);

/// The same of a file that nothing else is read with.
[[nodiscard]] Catalogue read_protector_catalogue(const std::string& path);

/// The same from the content of the file at `path`.
[[nodiscard]] Catalogue read_protector_catalogue(const TomlTable& document,
                                                 const std::string& path);

/// The same, with mistakes listed where reading can go on; protectors with mistakes are in the
/// result too.
[[nodiscard]] Catalogue read_protector_catalogue(const TomlTable& document, const std::string& path,
                                                 ErrorList& errors);

/// A plan and the files it was read from: itself, its catalogue, its cards; and the folders that
/// were looked through, whose other files could have been read.
struct LoadedPlan {
    Plan plan;
    std::vector<std::string> files;
    std::optional<Contact> contact = std::nullopt;  ///< whom to call; for the sheet
    std::vector<ReadingNote> notes = {};            ///< warnings of what is computed from it
    std::set<std::string> folders = {};             ///< of cards
};

/// Reads a plan, kind = "plan", with the cards and the catalogue it names, relative to it.
/// Every id in the result is known, the timeline is not empty and there is at least one person.
/// Throws InputErrors for all mistakes of all these files, InputError where the plan's own file
/// cannot be read.
[[nodiscard]] LoadedPlan read_plan(const std::string& path, TextInputs& inputs);

/// The same from the content of the file at `path`.
[[nodiscard]] LoadedPlan read_plan(const TomlTable& document, const std::string& path,
                                   TextInputs& inputs);

/// The same with inputs that nothing else is read with.
[[nodiscard]] LoadedPlan read_plan(const std::string& path);

}  // namespace earbudget::files
