#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "earbudget/study/contact.hpp"
#include "earbudget/study/plan.hpp"
#include "earbudget/study/reading_note.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::files {

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
[[nodiscard]] LoadedPlan read_plan(const TomlTable& document, const std::string& path);

}  // namespace earbudget::files
