#pragma once

#include <cstdint>

#include "files/file_bytes.hpp"

namespace earbudget::files {

// Tags that players and editors put behind the sound of any format: ID3v1, APE, Lyrics3 and ID3v2
// (their forms: memory).

/// Whether nothing but such tags and zeros lies from a position to the end.
[[nodiscard]] bool only_tags_follow(FileBytes& bytes, std::uint64_t at);

/// Where the tags and zeros at a file's end begin, but for ID3v2, which does not say so from there;
/// the end where there are none.
[[nodiscard]] std::uint64_t end_before_tags(FileBytes& bytes);

}  // namespace earbudget::files
