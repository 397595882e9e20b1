#pragma once

#include <cstdint>
#include <optional>

#include "files/file_bytes.hpp"

namespace earbudget::files {

// What other programs leave behind the samples of a recording.

/// Where a tag ends that begins at a position: ID3v1 and ID3v2, APE, Lyrics3 (all memory); none
/// where none begins.
[[nodiscard]] std::optional<std::uint64_t> end_of_tag(FileBytes& bytes, std::uint64_t at);

/// Where the last of the tags ends that follow one another from a position on; the position where
/// none begins there.
[[nodiscard]] std::uint64_t end_of_tags(FileBytes& bytes, std::uint64_t at);

/// Whether nothing but filling, zeros or bytes of ones, lies from a position to the end: as samples
/// it would be silence.
[[nodiscard]] bool only_filling_follows(FileBytes& bytes, std::uint64_t at);

/// Whether nothing but tags and filling lies from a position to the end of the file.
[[nodiscard]] bool only_tags_follow(FileBytes& bytes, std::uint64_t at);

}  // namespace earbudget::files
