#pragma once

#include <cstddef>
#include <set>
#include <string>
#include <vector>

#include "files/error_list.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::overview {

/// So many files of one folder, with all below it, are looked at; own choice.
inline constexpr std::size_t most_files_looked_at = 20'000;

/// The plans that some paths lead to.
struct FoundPlans {
    std::vector<std::string> files = {};  ///< each once: by the order of the paths, then by name
    std::size_t left_out = 0;             ///< files below folders that are of another kind
    std::set<std::string> folders = {};   ///< that were looked through
};

/// A file stands for itself; a folder for every file below it that ends in .toml and whose `kind`
/// is "plan" or "study". Hidden files and folders, links to folders and files of other kinds are
/// left out, and the last are counted. A file below a folder that is no TOML may be a plan: it is a
/// mistake, as is a folder without any plan.
[[nodiscard]] FoundPlans find_plans(const std::vector<std::string>& paths,
                                    files::TextInputs& inputs, files::ErrorList& errors);

}  // namespace earbudget::overview
