#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/options.hpp"
#include "files/text_inputs.hpp"
#include "report/record.hpp"

namespace earbudget::cli {

/// Whether a text is a day of the calendar written as YYYY-MM-DD, from 0001-01-01.
[[nodiscard]] bool is_date(std::string_view text);

/// The date of a report: as given, else the clock's, local. Throws UsageProblem for what is no
/// date; to be called before anything is computed.
[[nodiscard]] std::string report_date(const OutputOptions& output);

/// Whether a working is asked for.
[[nodiscard]] inline Tracing tracing(const OutputOptions& output) {
    return output.working ? Tracing::On : Tracing::Off;
}

/// The record of a report made from these files, as they were read. Throws what report_date throws.
[[nodiscard]] report::Record record_of(const OutputOptions& output,
                                       const std::vector<std::string>& paths,
                                       const files::TextInputs& inputs);

/// Adds an input with its known hash, once.
void add_input(report::Record& record, report::SourceFile file);

/// Adds text files with the hashes of what was read, each once,
/// by the name by which it was asked for first.
void add_inputs(report::Record& record, const std::vector<std::string>& paths,
                const files::TextInputs& inputs);

}  // namespace earbudget::cli
