#pragma once

#include <string>
#include <vector>

#include "desk/desk.hpp"
#include "earbudget/study/catalogue.hpp"
#include "files/text_inputs.hpp"
#include "overview/cards.hpp"

namespace earbudget::desk {

/// What can be read of the cards and catalogues of the folder, and what is wrong with the rest.
struct Sounds {
    overview::CardList list;
    std::vector<std::string> wrong = {};  ///< in words
};
[[nodiscard]] Sounds sounds_of(const Opened& desk, files::TextInputs& inputs);

/// A file as pages name it: its path below the folder.
[[nodiscard]] std::string name_below(const Opened& desk, const std::string& path);

/// The card of an id and, where it is not empty, a file as name_below gives it, among those that
/// can be read. Throws InputError for anything else: no path is made of what a browser sends.
[[nodiscard]] const overview::ListedCard& card_named(const Opened& desk, const Sounds& sounds,
                                                     const std::string& id,
                                                     const std::string& file);

/// The catalogue of a file; of none where it is empty the first that a plan names. Throws
/// InputError as card_named.
[[nodiscard]] const overview::ListedCatalogue& catalogue_named(const Opened& desk,
                                                               const Sounds& sounds,
                                                               const std::string& file);

/// A protector of a catalogue.
struct FoundProtector {
    std::string file;
    std::vector<std::string> used_by;  ///< files of plans that name the catalogue
    Catalogue catalogue;
    std::size_t index = 0;  ///< among its protectors
};
/// As card_named.
[[nodiscard]] FoundProtector protector_named(const Opened& desk, const Sounds& sounds,
                                             const std::string& id, const std::string& file,
                                             files::TextInputs& inputs);

/// The folder in which new cards are kept: one that a plan uses, else "cards"; all that could be.
[[nodiscard]] std::vector<std::string> card_folders(const Opened& desk, const Sounds& sounds);

// Addresses.
[[nodiscard]] std::string address_of_card(const std::string& id, const std::string& file);
[[nodiscard]] std::string address_of_protector(const std::string& id, const std::string& file);

/// "Used by …", with links to the reports of the plans; markup.
[[nodiscard]] std::string users_markup(const Opened& desk, const std::vector<std::string>& plans);

}  // namespace earbudget::desk
