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
    std::vector<std::string> examples = {};         ///< files used that say they are examples
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

// Each reads one table of a file, or one subject of it. Mistakes go to the table's list of errors.

/// Gives `visit` the keys of level_keys with one value, but LAeq, and where their values stand: to
/// read and to write them.
template <class Levels, class Visit>
void for_each_level_key(Levels& levels, Visit&& visit) {
    visit("LCeq", levels.LCeq);
    visit("LCpeak", levels.LCpeak);
    visit("LZpeak", levels.LZpeak);
    visit("uncertainty", levels.uncertainty);
    visit("low_frequency", levels.low_frequency);
}

/// Reads the keys of level_keys; at least LAeq or octave, or an LAeq that was made of samples.
/// Levels that contradict each other (study/sequence.hpp) are a mistake too.
[[nodiscard]] SoundLevels read_levels(TableReader& table,
                                      std::optional<LevelA> LAeq_of_samples = std::nullopt);

/// Changes a policy by the keys of [policy], or of a [[person]] that overrides it.
void read_policy_keys(TableReader& table, const std::vector<Criterion>& own_criteria,
                      Policy& policy);

/// Reads the [[criterion]] tables of a plan, its own criteria.
[[nodiscard]] std::vector<Criterion> read_own_criteria(TableReader& plan);

/// Reads `criteria`, ids of published criteria and of the plan's own; unchanged where it is absent.
void read_criteria(TableReader& table, const std::vector<Criterion>& own_criteria, Policy& policy);

/// What a person's criteria come to once all is read: those of the role where none is named, each
/// averaged over the week where the policy says so, the criterion allows it and days_per_week is
/// stated.
void settle_criteria(Person& person);

/// A criterion of the plan's own counts for everyone whom it is for where neither the facility's
/// `criteria` nor those of one of them name it: nobody defines one to have it passed over.
void add_unnamed_criteria(const std::vector<Criterion>& own_criteria, const Policy& facility,
                          std::vector<Person>& people);

/// Reads the [[position]] tables of a plan or of a site file and adds them to the plan's; cards
/// measured there are looked for beside that file; those of other sequences are passed over.
/// `paths` gets every file that was read. An id that is taken is a mistake.
void read_positions(TableReader& file, const std::string& path, Plan& plan,
                    std::vector<std::string>& paths, TextInputs& inputs);

/// Reads a site file: `kind = "site"`, with [background] and [[position]] that plans share. What
/// the plan itself states stays. Throws InputError for a file that cannot be read; other mistakes
/// go to the list.
void read_site(const std::string& path, const SourcePosition& named_at, Plan& plan,
               std::vector<std::string>& paths, TextInputs& inputs, ErrorList& errors);

/// The same from the content of the file at `path`.
void read_site(const TomlTable& document, const std::string& path, Plan& plan,
               std::vector<std::string>& paths, TextInputs& inputs, ErrorList& errors);

/// The same, which throws InputErrors for all mistakes.
void read_site(const TomlTable& document, const std::string& path, Plan& plan,
               std::vector<std::string>& paths);

/// Reads "time_zone" of a site file; whether this system knows such a zone is asked by who counts
/// days by it.
[[nodiscard]] std::optional<Located<std::string>> read_time_zone(TableReader& site);

/// The same of a file that was read already, with what was wrong in it listed then; none of any
/// but a site file.
[[nodiscard]] std::optional<Located<std::string>> read_time_zone(const std::string& path,
                                                                 TextInputs& inputs);

/// A row of [match]: scans whose name fits are runs of a card.
struct MatchRow {
    std::string pattern;                             ///< `*` for any characters, `?` for one
    std::string sequence;                            ///< id of the card
    std::optional<Seconds> duration = std::nullopt;  ///< of runs whose files do not tell it
    SourcePosition stated_at = {};
};

/// Reads [match] of a site file, in the order in which the rows stand; empty where it is absent.
[[nodiscard]] std::vector<MatchRow> read_match(TableReader& site);

/// The same of a site file of which nothing else is wanted. Throws InputErrors.
[[nodiscard]] std::vector<MatchRow> read_match(const std::string& path, TextInputs& inputs);

/// Whether what is wrong with one of these protectors is in the list already.
[[nodiscard]] bool lost_any(const ErrorList& errors, const std::vector<std::string>& protectors);

/// Reads a list of protector ids; empty when absent. One that is not in the catalogue is a mistake.
[[nodiscard]] std::vector<std::string> read_protector_ids(TableReader& table, std::string_view key,
                                                          const Catalogue& catalogue);

/// Reads "wears", or another key with what is worn: nothing, one, or a plug and an earmuff.
[[nodiscard]] std::vector<std::string> read_wears(TableReader& table, const Catalogue& catalogue,
                                                  std::string_view key = "wears");

/// Reads the [[person.protector]] tables of a person into the catalogue, of which only that person
/// may wear them; gives their ids.
[[nodiscard]] std::vector<std::string> read_own_protectors(TableReader& person,
                                                           const std::string& id,
                                                           Catalogue& catalogue);

/// Reads "worn" and "fit".
[[nodiscard]] Wearing read_wearing(TableReader& table);

/// Reads one task; sequences, positions and protectors must be in the plan.
[[nodiscard]] Task read_task(TableReader& table, const Plan& plan);

/// Reads the [[person]] tables of a plan whose catalogue, positions and timeline are already there.
/// `facility` is the policy that each may override. Protectors of their own join the catalogue.
[[nodiscard]] std::vector<Person> read_people(TableReader& plan_table, Plan& plan,
                                              const Policy& facility,
                                              const std::vector<Criterion>& own_criteria);

}  // namespace earbudget::files
