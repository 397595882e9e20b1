#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "files/open_file.hpp"

namespace earbudget::files {

/// What a FLAC file's first block of metadata states (RFC 9639, 8.2; memory).
struct FlacHeader {
    std::uint64_t begin;  ///< position of the file's marker, behind tags
    unsigned block_size;  ///< samples of a frame, at most
    unsigned sample_rate;
    unsigned channels;
    unsigned bits;                      ///< of a sample
    std::uint64_t samples;              ///< of each channel; 0: not known
    std::array<unsigned char, 16> MD5;  ///< of all samples; zeros: not stated

    /// Bytes of the marker and of the head of the first block.
    static constexpr std::size_t head = 8;
};

/// None for other files.
[[nodiscard]] std::optional<FlacHeader> flac_header(const OpenFile& file);

}  // namespace earbudget::files
