#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/command_table.hpp"

namespace earbudget::cli {

/// The commands on what ran in a session; their values go into `told`.
[[nodiscard]] std::vector<CommandDescription> session_rows(SessionOptions& told);

}  // namespace earbudget::cli
