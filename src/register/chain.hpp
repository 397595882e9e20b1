#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "files/sha256.hpp"
#include "register/entry.hpp"

namespace earbudget::registers {

using files::Sha256;
using Salt = std::array<unsigned char, 16>;

/// A moment's random bytes, by the system.
[[nodiscard]] Salt random_salt();

/// Lower-case hexadecimal digits of bytes.
[[nodiscard]] std::string hexadecimal(std::string_view bytes);

template <std::size_t N>
[[nodiscard]] std::string_view bytes_of(const std::array<unsigned char, N>& bytes) {
    return {reinterpret_cast<const char*>(bytes.data()), N};
}

/// What the headers of the chain hold, besides the hash itself.
struct Header {
    std::int64_t n = 0;
    std::int64_t recorded_ms = 0;
    std::string_view kind;
    std::string_view commitment, previous;  // bytes
};

/// What an entry's commitment stands for. Persons are named by their seals.
struct Content {
    std::string_view salt;  // bytes
    std::optional<std::string_view> person_seal, recorder_seal;
    std::optional<std::int64_t> session;
    std::int64_t from_ms = 0, to_ms = 0, offset_minutes = 0;
    std::optional<std::int64_t> corrects;
    std::string_view body;
};

/// SHA-256 (FIPS 180-4) of "earbudget register entry 1" and the header's parts, each as its length
/// in bytes, a colon and the part: numbers in decimal digits.
[[nodiscard]] Sha256 hash_of(const Header& header);

/// The same of "earbudget register content 1" and a content's parts; what there is not is "-"
/// without a length.
[[nodiscard]] Sha256 commitment_of(const Content& content);

/// The same of "earbudget register code 1", a salt, a code and its person's number.
[[nodiscard]] Sha256 seal_of(std::string_view salt, std::string_view code, std::int64_t person);

/// The same of "earbudget register 1" and all that a register was made with: what the first entry
/// has for the hash of the one before. `identity` tells registers apart that were made alike.
[[nodiscard]] Sha256 beginning_of(const RegisterSettings& settings, std::string_view identity);

}  // namespace earbudget::registers
