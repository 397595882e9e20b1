#pragma once

#include <string>
#include <vector>

#include "earbudget/study/sequence.hpp"
#include "files/error_list.hpp"

namespace earbudget::files {

/// Reads every sequence card of a folder, *.toml in the order of their names; plans and catalogues
/// that lie among them are passed over. `named_at` is where the folder was named.
/// Throws InputError where there is no such folder; a file that is no card and two cards with one
/// id go to the list.
[[nodiscard]] std::vector<Sequence> read_sequence_folder(const std::string& folder,
                                                         const SourcePosition& named_at,
                                                         ErrorList& errors);

}  // namespace earbudget::files
