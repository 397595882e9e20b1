#pragma once

#include <array>
#include <string_view>

namespace earbudget::files {

/// A sum of SHA-256 (FIPS 180-4).
using Sha256 = std::array<unsigned char, 32>;

/// SHA-256 of a text's bytes (FIPS 180-4).
[[nodiscard]] Sha256 sha256_bytes(std::string_view text);

}  // namespace earbudget::files
