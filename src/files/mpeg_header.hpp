#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace earbudget::files {

/// What the four bytes say that begin a frame of MPEG sound (ISO/IEC 11172-3, 2.4.1.3 and 2.4.2.3;
/// ISO/IEC 13818-3, 2.4.2.3; MPEG 2.5 after the practice of decoders; all memory).
struct MpegHeader {
    bool is_first_version;  ///< MPEG 1; else 2 or 2.5
    unsigned layer;         ///< 1 to 3
    bool has_checksum;
    unsigned sample_rate;  ///< Hz
    unsigned channels;
    std::size_t frame_size;  ///< bytes, with the header

    /// Whether a frame can follow another in one stream.
    [[nodiscard]] bool continues(const MpegHeader& other) const;

    /// Where layer III says how its frame is coded, and how long that is.
    [[nodiscard]] std::size_t side_begin() const { return has_checksum ? 6 : 4; }
    [[nodiscard]] std::size_t side_size() const;

    /// Of each channel, in one frame.
    [[nodiscard]] unsigned samples() const;
};

/// None for what no frame begins with, and for a bit rate that is not stated ("free format").
[[nodiscard]] std::optional<MpegHeader> mpeg_header(std::string_view bytes);

}  // namespace earbudget::files
