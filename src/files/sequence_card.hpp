#pragma once

#include <string>

#include "earbudget/study/sequence.hpp"
#include "files/ids.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// Reads a sequence card, kind = "sequence". Throws InputError.
[[nodiscard]] Sequence read_sequence_card(const std::string& path, TextInputs& inputs);

/// The same of a file that nothing else is read with.
[[nodiscard]] Sequence read_sequence_card(const std::string& path);

/// The same from the content of the file at `path`.
[[nodiscard]] Sequence read_sequence_card(const TomlTable& document, const std::string& path);

/// The same, with mistakes listed where reading can go on; the result then is not to be used but
/// for its id.
[[nodiscard]] Sequence read_sequence_card(const TomlTable& document, const std::string& path,
                                          ErrorList& errors);

/// The text of a card that reads back to the same sequence, levels to a thousandth of a decibel.
[[nodiscard]] std::string write_sequence_card(const Sequence& sequence);

}  // namespace earbudget::files
