#pragma once

#include "cli/options.hpp"

namespace CLI {
class App;
}

namespace earbudget::cli {

/// The format of what --output names, by its ending, where --format is not stated: .html, .htm,
/// .json, .txt; text where there is no ending. What is stated counts, and a note says so where the
/// ending is another. Throws UsageProblem for any other ending where --format is not stated, always
/// for .toml, in large or small letters, which would be taken for an input; and for the names of
/// standard output.
void settle_format(const CLI::App& command, OutputOptions& output);

/// A sheet is a page, and holds neither a comparison nor a working. Throws UsageProblem.
void check_sheet(const AssessOptions& options);

}  // namespace earbudget::cli
