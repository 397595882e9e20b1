#pragma once

#include <map>
#include <string>

#include "cli/command_table.hpp"
#include "files/keys.hpp"

namespace earbudget::guides {

/// A script for bash that completes commands, options and their values; needs nothing else.
[[nodiscard]] std::string bash_completion(const cli::ProgramDescription& description);

/// A script for zsh, as compinit finds it: `_earbudget` in a folder of fpath.
[[nodiscard]] std::string zsh_completion(const cli::ProgramDescription& description);

/// A script for fish.
[[nodiscard]] std::string fish_completion(const cli::ProgramDescription& description);

/// The manual page, for man and groff: macros of man(7), text in UTF-8.
[[nodiscard]] std::string manual_page(const cli::ProgramDescription& description);

/// docs/files.md with its tables of keys as the program's own table of keys has them: what stands
/// between `<!-- keys: NAME -->` and `<!-- end of keys -->` is written anew. Throws
/// std::runtime_error for a name that no table has.
[[nodiscard]] std::string with_key_tables(const std::string& document);

/// The JSON schema (draft 2020-12) of a kind of file, for editors: types, ranges, words and what
/// must be stated. What keys have to do with one another only the program itself knows.
[[nodiscard]] std::string input_schema(const files::KeyTable& file);

/// The JSON schemas (2020-12) of all reports by the names of their files, made of the tables by
/// which the reports are written.
[[nodiscard]] std::map<std::string, std::string> schemas();

}  // namespace earbudget::guides
