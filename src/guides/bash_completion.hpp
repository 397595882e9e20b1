#pragma once

#include <string>

#include "cli/description.hpp"

namespace earbudget::guides {

/// A script for bash that completes commands, options and their values; needs nothing else.
[[nodiscard]] std::string bash_completion(const cli::ProgramDescription& description);

}  // namespace earbudget::guides
