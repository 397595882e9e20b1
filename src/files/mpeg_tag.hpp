#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

#include "files/mpeg_header.hpp"

namespace earbudget::files {

/// What the first frame of a file of layer III may hold in the place of sound, written by its
/// encoder when all was done: the frame named "Xing" or "Info" and its extension (memory).
struct MpegTag {
    std::optional<std::uint64_t> frames;    ///< with sound, that follow
    std::optional<std::size_t> size_field;  ///< where in the frame the file's bytes are stated
    bool has_extension = false;             ///< which has checksums
    bool fits_own_checksum = true;
    std::uint16_t checksum_of_frames = 0;
};

/// None where the frame has sound.
[[nodiscard]] std::optional<MpegTag> mpeg_tag(const MpegHeader& header, std::string_view frame);

/// CRC-16 of bytes as the extension has it: polynomial 0x8005, lowest bit first.
[[nodiscard]] std::uint16_t mpeg_tag_checksum(std::string_view bytes, std::uint16_t start);

}  // namespace earbudget::files
