#pragma once

#include <string>

#include "cli/command_table.hpp"

namespace earbudget::guides {

/// The manual page, for man and groff: macros of man(7), text in UTF-8.
[[nodiscard]] std::string manual_page(const cli::ProgramDescription& description);

}  // namespace earbudget::guides
