#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "files/open_file.hpp"

namespace earbudget::files {

/// A FLAC file's last frame, held against what the file's header announces.
struct FlacEnd {
    std::string damage;           ///< where the two contradict each other; empty where they do not
    std::uint64_t samples = 0;    ///< of each channel that are there at least; 0: no frame found
    std::uint64_t announced = 0;  ///< by the header; 0: not known
    /// Where in the file another one begins, which decoders pass over.
    std::optional<std::uint64_t> another_begins = std::nullopt;
};

/// Frames say by themselves how they were sampled and where in the recording they belong, and bear
/// a checksum; the header bears none (RFC 9639, 8.2, 9.1 and 9.3; memory). None for other files.
/// Looked at are the last 4 MiB, in which the last frame may be cut off or something follow it.
[[nodiscard]] std::optional<FlacEnd> flac_end(const OpenFile& file);

}  // namespace earbudget::files
