#pragma once

#include <string>
#include <vector>

#include "cli/options.hpp"
#include "files/output.hpp"
#include "report/document.hpp"

namespace CLI {
class App;
}

namespace earbudget::cli {

/// Refuses an output file that exists before anything is computed. Throws InputError.
void check_output(const OutputOptions& output);

/// Refuses an output, file or standard output, that is one of the files that were read or could
/// have been. Throws InputError.
void check_output_is_no_input(const OutputOptions& output, const files::ReadBefore& inputs);

/// The folder that a file lies in.
[[nodiscard]] std::string folder_of(const std::string& file);

/// Writes a report to the file that was asked for, or to standard output, and other files that
/// were asked for. All files are in their places or none, and none where standard output did not
/// take the whole report.
void deliver(const std::string& report, const OutputOptions& output,
             std::vector<files::OutputFile> others = {});

/// A document as a page or as text, in colour only on a terminal that shows it, and not with
/// NO_COLOR set.
[[nodiscard]] std::string rendered(const report::Document& document, const OutputOptions& output);

/// The format of what --output names, by its ending, where --format is not stated: .html, .htm,
/// .json, .txt; text where there is no ending. What is stated counts, and a note says so where the
/// ending is another. Throws UsageProblem for any other ending where --format is not stated, always
/// for .toml, in large or small letters, which would be taken for an input; and for the names of
/// standard output.
void settle_format(const CLI::App& command, OutputOptions& output);

/// A sheet is a page, and holds neither a comparison nor a working. Throws UsageProblem.
void check_sheet(const AssessOptions& options);

}  // namespace earbudget::cli
