#include "files/mpeg_side.hpp"

namespace earbudget::files {

namespace {

constexpr unsigned most_pairs = 288;  // of the 576 lines of a granule

class Bits {
  public:
    explicit Bits(std::string_view bytes) : bytes_(bytes) {}

    unsigned next(unsigned count) {
        unsigned value = 0;
        for (; count > 0; --count, ++at_) {
            const auto byte = static_cast<unsigned char>(bytes_[at_ / 8]);
            value = value << 1U | (byte >> (7 - at_ % 8) & 1U);
        }
        return value;
    }

  private:
    std::string_view bytes_;
    std::size_t at_ = 0;
};

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
    bool undefined = pairs > most_pairs;
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
    const auto byte = [&](std::size_t n) { return static_cast<unsigned char>(frame[n]); };
    const auto start = mpeg_checksum(frame.substr(2, 2), 0xFFFF);
    const auto sum = mpeg_checksum(frame.substr(header.side_begin(), header.side_size()), start);
    return sum == (byte(4) << 8U | byte(5));
}

}  // namespace

std::uint16_t mpeg_checksum(std::string_view bytes, std::uint16_t start) {
    unsigned sum = start;
    for (const char byte : bytes) {
        sum ^= static_cast<unsigned>(static_cast<unsigned char>(byte)) << 8U;
        for (int bit = 0; bit < 8; ++bit)
            sum = ((sum << 1U) ^ ((sum & 0x8000U) != 0 ? 0x8005U : 0U)) & 0xFFFFU;
    }
    return static_cast<std::uint16_t>(sum);
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
