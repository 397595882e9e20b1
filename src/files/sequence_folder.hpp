#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "earbudget/study/sequence.hpp"
#include "files/error_list.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

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

}  // namespace earbudget::files
