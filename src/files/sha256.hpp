#pragma once

#include <string>
#include <string_view>

#include "files/open_file.hpp"

namespace earbudget::files {

/// SHA-256 of an open file's bytes (FIPS 180-4), 64 hexadecimal digits, as long as it was when it
/// was opened. Throws CannotRead.
[[nodiscard]] std::string sha256_of(const OpenFile& file);

/// SHA-256 of a text's bytes (FIPS 180-4), 64 hexadecimal digits.
[[nodiscard]] std::string sha256_of_text(std::string_view text);

}  // namespace earbudget::files
