#pragma once

#include <string>

#include "cli/command_table.hpp"

namespace earbudget::guides {

/// A script for bash that completes commands, options and their values; needs nothing else.
[[nodiscard]] std::string bash_completion(const cli::ProgramDescription& description);

/// A script for zsh, as compinit finds it: `_earbudget` in a folder of fpath.
[[nodiscard]] std::string zsh_completion(const cli::ProgramDescription& description);

/// A script for fish.
[[nodiscard]] std::string fish_completion(const cli::ProgramDescription& description);

}  // namespace earbudget::guides
