#include <array>

#include "files/file_bytes.hpp"
#include "files/sound_structure.hpp"

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

constexpr unsigned most_pairs_of_lines = 288;  // of the 576 lines of a granule

struct Side {
    unsigned samples_begin;  ///< so many bytes before the frame's own
    unsigned bits = 0;       ///< of all samples
    bool impossible = false;
};

/// One granule of one channel: 59 bits, or 63.
void read_granule(Bits& bits, const MpegHeader& header, Side& side) {
    side.bits += bits.next(12);
    const unsigned pairs = bits.next(9);
    bits.next(8);
    bits.next(header.is_first_version ? 4 : 9);
    bool undefined = pairs > most_pairs_of_lines;
    if (bits.next(1) == 1) {
        undefined = undefined || bits.next(2) == 0;
        bits.next(20);
    } else {
        bits.next(22);
    }
    bits.next(header.is_first_version ? 3 : 2);
    side.impossible = side.impossible || undefined;
}

Side read_side(const MpegHeader& header, std::string_view bytes) {
    Bits bits(bytes);
    const bool mono = header.channels == 1;
    Side side{bits.next(header.is_first_version ? 9 : 8)};
    if (header.is_first_version) {
        bits.next(mono ? 5 : 3);
        bits.next(4 * header.channels);
    } else {
        bits.next(mono ? 1 : 2);
    }
    const unsigned granules = header.is_first_version ? 2 : 1;
    for (unsigned n = 0; n < granules * header.channels; ++n)
        read_granule(bits, header, side);
    return side;
}

bool fits_checksum(const MpegHeader& header, std::string_view frame) {
    const auto start = mpeg_checksum(frame.substr(2, 2), 0xFFFF);
    const auto sum = mpeg_checksum(frame.substr(header.side_begin(), header.side_size()), start);
    return sum == number_in(frame.substr(4, 2));
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
    Bits bits(bytes);
    const bool synchronous = bits.next(11) == 0x7FF;
    const unsigned version = bits.next(2);  // 3: MPEG 1, 2: MPEG 2, 0: MPEG 2.5
    const unsigned layer = 4 - bits.next(2);
    const bool has_checksum = bits.next(1) == 0;
    const unsigned bit_rate = bits.next(4);
    const unsigned sample_rate = bits.next(2);
    const bool is_padded = bits.next(1) == 1;
    bits.next(1);
    const unsigned channels = bits.next(8) >> 6U == 3 ? 1 : 2;
    if (!bits.good() || !synchronous || version == 1 || layer == 4 || sample_rate == 3)
        return std::nullopt;
    if (bit_rate == 0 || bit_rate == 15) return std::nullopt;
    MpegHeader header{.is_first_version = version == 3,
                      .layer = layer,
                      .has_checksum = has_checksum,
                      .sample_rate = sample_rates.at(sample_rate),
                      .channels = channels,
                      .frame_size = 0};
    if (version != 3) header.sample_rate /= version == 2 ? 2 : 4;
    const auto& rates = header.is_first_version ? first_version : second_version;
    header.frame_size = frame_size(header, rates.at(layer - 1).at(bit_rate), is_padded);
    return header;
}

std::uint16_t mpeg_checksum(std::string_view bytes, std::uint16_t start) {
    return checksum<std::uint16_t, 0x8005>(bytes, start);
}

std::string MpegSides::add(const MpegHeader& header, std::string_view frame) {
    const std::size_t head = header.side_begin() + header.side_size();
    if (frame.size() < head) return "a frame is too short for what it must hold";
    if (header.has_checksum && !fits_checksum(header, frame))
        return "a frame does not fit its checksum";
    const Side side = read_side(header, frame.substr(header.side_begin(), header.side_size()));
    if (side.impossible) return "a frame says of itself what cannot be";
    if (side.samples_begin > room_ - used_) {
        return used_ == 0 ? "its beginning is cut off" : "a frame does not fit the one before";
    }
    const std::uint64_t begin = room_ - side.samples_begin;
    room_ += frame.size() - head;
    used_ = begin + (side.bits + 7) / 8;
    return used_ > room_ ? "the samples of a frame do not fit into it" : "";
}

}  // namespace earbudget::files
