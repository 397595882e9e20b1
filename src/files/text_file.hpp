#pragma once

#include <string>

#include "earbudget/study/input_error.hpp"

namespace earbudget::files {

/// The whole of a text file. Throws InputError at `blamed` when it is missing, not a regular file,
/// not readable or larger than 4 MiB, which no plan, card or catalogue is.
[[nodiscard]] std::string read_text_file(const std::string& path, const SourcePosition& blamed);

}  // namespace earbudget::files
