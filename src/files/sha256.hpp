#pragma once

#include <string>
#include <string_view>

#include "files/open_file.hpp"

namespace earbudget::files {

/// SHA-256 of a file's bytes (FIPS 180-4), 64 hexadecimal digits. Throws std::runtime_error when
/// the file cannot be read.
[[nodiscard]] std::string sha256_of_file(const std::string& path);

/// SHA-256 of an open file's bytes, as long as it was when it was opened. Throws CannotRead.
[[nodiscard]] std::string sha256_of(const OpenFile& file);

/// SHA-256 of a text's bytes (FIPS 180-4), 64 hexadecimal digits.
[[nodiscard]] std::string sha256_of_text(std::string_view text);

}  // namespace earbudget::files
