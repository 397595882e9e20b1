#pragma once

#include <string>
#include <vector>

#include "files/text_inputs.hpp"
#include "report/record.hpp"

namespace earbudget::answers {

/// The record of an answer made on a day (YYYY-MM-DD) from these files, as they were read.
[[nodiscard]] report::Record record_of(const std::string& date,
                                       const std::vector<std::string>& paths,
                                       const files::TextInputs& inputs);

/// Adds an input with its known hash, once.
void add_input(report::Record& record, report::SourceFile file);

/// Adds text files with the hashes of what was read, each once,
/// by the name by which it was asked for first.
void add_inputs(report::Record& record, const std::vector<std::string>& paths,
                const files::TextInputs& inputs);

/// Adds those of some files, by the names by which they were asked for first, that say that they
/// are examples.
void add_examples(report::Record& record, const std::vector<std::string>& paths,
                  const files::TextInputs& inputs);

}  // namespace earbudget::answers
