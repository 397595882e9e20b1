#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "files/open_file.hpp"

namespace earbudget::files {

/// A FLAC file's last frame, held against what the file's header announces.
struct FlacEnd {
    std::string damage;           ///< no whole frame, or one that contradicts the header; or empty
    std::uint64_t samples = 0;    ///< of each channel, up to the end of that frame
    std::uint64_t announced = 0;  ///< by the header; 0: not known
};

/// Frames say by themselves how they were sampled and where in the recording they belong, and bear
/// a checksum; the header bears none (RFC 9639, 8.2, 9.1 and 9.3; memory). None for other files,
/// and where frames may be longer than 64 KiB and none shorter ends before the tags at the end.
[[nodiscard]] std::optional<FlacEnd> flac_end(const OpenFile& file);

}  // namespace earbudget::files
