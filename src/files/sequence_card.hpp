#pragma once

#include <string>

#include "earbudget/study/sequence.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// Reads a sequence card, kind = "sequence". Throws InputError.
[[nodiscard]] Sequence read_sequence_card(const std::string& path);

/// The same from the content of the file at `path`.
[[nodiscard]] Sequence read_sequence_card(const TomlTable& document, const std::string& path);

/// The same, with mistakes listed where reading can go on; the result then is not to be used but
/// for its id.
[[nodiscard]] Sequence read_sequence_card(const TomlTable& document, const std::string& path,
                                          ErrorList& errors);

/// The text of a card that reads back to the same sequence, levels to a thousandth of a decibel.
[[nodiscard]] std::string write_sequence_card(const Sequence& sequence);

/// Whether an id can be used in files: letters, digits, '-', '_' and '.', not empty.
[[nodiscard]] bool is_valid_id(std::string_view id);

/// Reads an id; what is_valid_id refuses is a mistake. Throws AlreadyListed where there is none.
[[nodiscard]] Located<std::string> require_id(TableReader& table);

}  // namespace earbudget::files
