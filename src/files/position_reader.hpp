#pragma once

#include <string>
#include <vector>

#include "earbudget/study/plan.hpp"
#include "files/table_reader.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

/// Reads the [[position]] tables of a plan or of a site file and adds them to the plan's; cards
/// measured there are looked for beside that file; those of other sequences are passed over.
/// `paths` gets every file that was read. An id that is taken is a mistake.
void read_positions(TableReader& file, const std::string& path, Plan& plan,
                    std::vector<std::string>& paths, TextInputs& inputs);

/// Reads a site file: `kind = "site"`, with [background] and [[position]] that plans share. What
/// the plan itself states stays. Throws InputError for a file that cannot be read; other mistakes
/// go to the list.
void read_site(const std::string& path, const SourcePosition& named_at, Plan& plan,
               std::vector<std::string>& paths, TextInputs& inputs, ErrorList& errors);

/// The same from the content of the file at `path`.
void read_site(const TomlTable& document, const std::string& path, Plan& plan,
               std::vector<std::string>& paths, TextInputs& inputs, ErrorList& errors);

/// The same, which throws InputErrors for all mistakes.
void read_site(const TomlTable& document, const std::string& path, Plan& plan,
               std::vector<std::string>& paths);

}  // namespace earbudget::files
