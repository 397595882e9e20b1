#pragma once

#include <string>

namespace earbudget::files {

/// SHA-256 of a file's bytes (FIPS 180-4), 64 hexadecimal digits. Throws std::runtime_error when
/// the file cannot be read.
[[nodiscard]] std::string sha256_of_file(const std::string& path);

}  // namespace earbudget::files
