#pragma once

#include <string>
#include <vector>

#include "earbudget/study/sequence.hpp"

namespace earbudget::files {

/// Reads every sequence card of a folder, *.toml in the order of their names; plans and catalogues
/// that lie among them are passed over. `named_at` is where the folder was named.
/// Throws InputError: no such folder, a file that is no card, two cards with one id.
[[nodiscard]] std::vector<Sequence> read_sequence_folder(const std::string& folder,
                                                         const SourcePosition& named_at);

}  // namespace earbudget::files
