#include "files/mpeg_header.hpp"

#include <array>

namespace earbudget::files {

namespace {

using Rates = std::array<unsigned, 15>;  // kbit/s; the first is "free", the sixteenth forbidden

constexpr std::array<Rates, 3> first_version = {
    {{0, 32, 64, 96, 128, 160, 192, 224, 256, 288, 320, 352, 384, 416, 448},
     {0, 32, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320, 384},
     {0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320}}};
constexpr std::array<Rates, 3> second_version = {
    {{0, 32, 48, 56, 64, 80, 96, 112, 128, 144, 160, 176, 192, 224, 256},
     {0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160},
     {0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160}}};
constexpr std::array<unsigned, 3> sample_rates = {44100, 48000, 32000};

std::size_t frame_size(const MpegHeader& header, unsigned kilobits, bool is_padded) {
    const unsigned bits = 1000 * kilobits;
    const unsigned slot = is_padded ? 1 : 0;
    if (header.layer == 1) return 4 * std::size_t{12 * bits / header.sample_rate + slot};
    const unsigned eighth = header.layer == 3 && !header.is_first_version ? 72 : 144;
    return std::size_t{eighth * bits / header.sample_rate + slot};
}

}  // namespace

bool MpegHeader::continues(const MpegHeader& other) const {
    return is_first_version == other.is_first_version && layer == other.layer &&
           sample_rate == other.sample_rate && channels == other.channels;
}

std::size_t MpegHeader::side_size() const {
    if (is_first_version) return channels == 1 ? 17 : 32;
    return channels == 1 ? 9 : 17;
}

unsigned MpegHeader::samples() const {
    if (layer == 1) return 384;
    return layer == 3 && !is_first_version ? 576 : 1152;
}

std::optional<MpegHeader> mpeg_header(std::string_view bytes) {
    if (bytes.size() < 4) return std::nullopt;
    const auto byte = [&](std::size_t n) { return static_cast<unsigned char>(bytes[n]); };
    const bool synchronous = byte(0) == 0xFF && (byte(1) & 0xE0U) == 0xE0;
    const unsigned version = byte(1) >> 3U & 3U;  // 3: MPEG 1, 2: MPEG 2, 0: MPEG 2.5
    const unsigned layer = 4 - (byte(1) >> 1U & 3U);
    const unsigned bit_rate = byte(2) >> 4U;
    const unsigned sample_rate = byte(2) >> 2U & 3U;
    if (!synchronous || version == 1 || layer == 4 || sample_rate == 3) return std::nullopt;
    if (bit_rate == 0 || bit_rate == 15) return std::nullopt;
    MpegHeader header{.is_first_version = version == 3,
                      .layer = layer,
                      .has_checksum = (byte(1) & 1U) == 0,
                      .sample_rate = sample_rates.at(sample_rate),
                      .channels = (byte(3) >> 6U) == 3 ? 1U : 2U,
                      .frame_size = 0};
    if (version != 3) header.sample_rate /= version == 2 ? 2 : 4;
    const auto& rates = header.is_first_version ? first_version : second_version;
    header.frame_size = frame_size(header, rates.at(layer - 1).at(bit_rate), (byte(2) & 2U) != 0);
    return header;
}

}  // namespace earbudget::files
