#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/study/plan.hpp"
#include "files/table_reader.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

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
/// Levels that contradict each other (study/level_checks.hpp) are a mistake too.
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

/// Whether what is wrong with one of these protectors is in the list already.
[[nodiscard]] bool lost_any(const ErrorList& errors, const std::vector<std::string>& protectors);

/// Reads a list of protector ids; empty when absent. One that is not in the catalogue is a mistake.
[[nodiscard]] std::vector<std::string> read_protector_ids(TableReader& table, std::string_view key,
                                                          const Catalogue& catalogue);

/// Reads "wears": nothing, one, or a plug and an earmuff.
[[nodiscard]] std::vector<std::string> read_wears(TableReader& table, const Catalogue& catalogue);

/// Reads "worn" and "fit".
[[nodiscard]] Wearing read_wearing(TableReader& table);

/// Reads one task; sequences, positions and protectors must be in the plan.
[[nodiscard]] Task read_task(TableReader& table, const Plan& plan);

/// Reads the [[person]] tables of a plan whose catalogue, positions and timeline are already there.
/// `facility` is the policy that each may override.
[[nodiscard]] std::vector<Person> read_people(TableReader& plan_table, const Plan& plan,
                                              const Policy& facility,
                                              const std::vector<Criterion>& own_criteria);

}  // namespace earbudget::files
