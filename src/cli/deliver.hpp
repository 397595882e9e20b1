#pragma once

#include <string>
#include <vector>

#include "cli/options.hpp"
#include "files/output.hpp"
#include "report/document.hpp"

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

}  // namespace earbudget::cli
