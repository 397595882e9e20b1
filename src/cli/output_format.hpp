#pragma once

#include "cli/options.hpp"

namespace CLI {
class App;
}

namespace earbudget::cli {

/// The format of what --output names, by its ending, where --format is not stated: .html, .htm,
/// .json, .txt. What is stated counts, and a note says so where the ending is that of another
/// format. Throws UsageProblem for an ending of what cannot be written.
void settle_format(const CLI::App& command, OutputOptions& output);

}  // namespace earbudget::cli
