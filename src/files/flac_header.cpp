#include "files/flac_header.hpp"

#include <algorithm>
#include <string>

#include "files/file_bytes.hpp"

namespace earbudget::files {

std::optional<FlacHeader> flac_header(const OpenFile& file) {
    const std::uint64_t begin = end_of_leading_tags(file);
    FileBytes bytes(file, begin);
    if (bytes.text(0, 4) != "fLaC") return std::nullopt;
    // Of 64 bits: 20 of the rate, 3 of the channels, 5 of the bits, 36 of the samples.
    const auto sampling = bytes.number(18, 8, ByteOrder::Big);
    FlacHeader header{.begin = begin,
                      .block_size = static_cast<unsigned>(bytes.number(10, 2, ByteOrder::Big)),
                      .sample_rate = static_cast<unsigned>(sampling >> 44U),
                      .channels = static_cast<unsigned>(sampling >> 41U & 7U) + 1,
                      .bits = static_cast<unsigned>(sampling >> 36U & 31U) + 1,
                      .samples = sampling & 0xFFFFFFFFF,
                      .MD5 = {}};
    std::ranges::copy(bytes.text(26, header.MD5.size()), header.MD5.begin());
    return header;
}

}  // namespace earbudget::files
