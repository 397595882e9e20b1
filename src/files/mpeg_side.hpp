#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "files/mpeg_header.hpp"

namespace earbudget::files {

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
