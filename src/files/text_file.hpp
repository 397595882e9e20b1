#pragma once

#include <cstddef>
#include <string>

#include "earbudget/study/input_error.hpp"

namespace earbudget::files {

/// The whole of a text file. Throws InputError at `blamed` when it is missing, not a regular file,
/// not readable, larger than so many bytes, or written to while it is read.
[[nodiscard]] std::string read_text_file(const std::string& path, const SourcePosition& blamed,
                                         std::size_t most_bytes);

/// Throws InputError for a file that is larger.
[[noreturn]] void refuse_larger(const std::string& path, const SourcePosition& blamed,
                                std::size_t most_bytes);

}  // namespace earbudget::files
