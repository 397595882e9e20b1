#pragma once

#include <cstdint>
#include <optional>
#include <string>
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

/// What frames of MPEG layer III say of how they are coded, held against what can be: the samples
/// of a frame may begin in those before, never among the samples of the one before, and never end
/// behind the frame (ISO/IEC 11172-3, 2.4.1.7 and 2.4.2.7; 13818-3, 2.4.1.7; memory).
class MpegSides {
  public:
    /// What is wrong with the next whole frame; empty for nothing.
    [[nodiscard]] std::string add(const MpegHeader& header, std::string_view frame);

  private:
    // Positions in the bytes that all frames have for their samples, put together.
    std::uint64_t room_ = 0;  // of the frames so far
    std::uint64_t used_ = 0;  // up to here by samples
};

/// CRC-16 of bytes, polynomial 0x8005, as frames bear it (ISO/IEC 11172-3, 2.4.3.1; memory).
[[nodiscard]] std::uint16_t mpeg_checksum(std::string_view bytes, std::uint16_t start);

}  // namespace earbudget::files
