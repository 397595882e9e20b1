#pragma once

#include <set>
#include <string>
#include <vector>

#include "earbudget/study/visits.hpp"
#include "files/study_files.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

/// A study of visits and the files that it was read from.
struct LoadedStudy {
    Study study;
    std::vector<std::string> plans = {};  ///< the file of each visit
    std::vector<std::string> files = {};  ///< all, the study's own first
    std::set<std::string> folders = {};   ///< of cards
    std::vector<ReadingNote> notes = {};
    std::vector<std::string> examples = {};  ///< files used that say they are examples
};

/// Whether a file is a study of visits; false for what cannot be read, which whoever reads it as
/// something else then says.
[[nodiscard]] bool is_study(const std::string& path, TextInputs& inputs);

/// Reads a study, kind = "study", with the plans it names, relative to it, in which everything is
/// as read_plan says. Throws InputErrors for all mistakes of all these files, InputError where the
/// study's own file cannot be read.
[[nodiscard]] LoadedStudy read_study(const std::string& path, TextInputs& inputs);

/// The same from the content of the file at `path`.
[[nodiscard]] LoadedStudy read_study(const TomlTable& document, const std::string& path,
                                     TextInputs& inputs);

/// Refuses a study where one plan, or one card, is asked for, and names its plans. Throws
/// InputError.
void refuse_study(const std::string& path, const std::string& command, TextInputs& inputs);

}  // namespace earbudget::files
