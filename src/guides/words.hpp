#pragma once

#include "cli/command_table.hpp"

namespace earbudget::guides {

/// Whether an option's value names a file.
[[nodiscard]] inline bool is_file(const cli::OptionDescription& option) {
    for (const char* word : {"FILE", "CARD", "PLAN"}) {
        if (option.value.starts_with(word)) return true;
    }
    return false;
}

}  // namespace earbudget::guides
