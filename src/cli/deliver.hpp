#pragma once

#include <string>
#include <vector>

#include "cli/options.hpp"
#include "files/output.hpp"
#include "report/text_style.hpp"

namespace earbudget::cli {

/// Refuses an output file that exists, and a date that is none, before anything is computed.
/// Throws InputError and UsageProblem.
void check_output(const OutputOptions& output);

/// Refuses an output file that is one of the files read. Throws InputError.
void check_output_is_no_input(const OutputOptions& output, const std::vector<std::string>& inputs);

/// Writes a report to the file that was asked for, or to standard output; other files that were
/// asked for before it, all together.
void deliver(const std::string& report, const OutputOptions& output,
             std::vector<files::OutputFile> others = {});

/// Colour only on a terminal that shows it, and not with NO_COLOR set.
[[nodiscard]] report::TextStyle text_style_for(const OutputOptions& output);

}  // namespace earbudget::cli
