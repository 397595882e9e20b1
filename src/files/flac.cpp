#include <algorithm>
#include <cmath>
#include <cstdint>
#include <stdexcept>
#include <string>

#include "files/file_bytes.hpp"
#include "files/sound_structure.hpp"

namespace earbudget::files {

namespace {

void require_MD5(int succeeded) {
    if (succeeded != 1) throw std::runtime_error("MD5 could not be computed");
}

/// So many bytes of each sample, the lowest first.
template <std::size_t Bytes>
void write_samples(std::span<const double> samples, double scale, unsigned char* to) {
    for (const double sample : samples) {
        // Exact: the decoder divided by this power of two.
        const auto value = static_cast<std::uint64_t>(static_cast<std::int64_t>(sample * scale));
        for (std::size_t n = 0; n < Bytes; ++n)
            *to++ = static_cast<unsigned char>(value >> 8 * n);
    }
}

}  // namespace

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

FlacSum::FlacSum(const Digest& stated, unsigned bits) : stated_(stated), bits_(bits) {
    require_MD5(MD5_Init(&state_));
}

std::optional<FlacSum> FlacSum::stated_by(const OpenFile& file) {
    const auto header = flac_header(file);
    if (!header || header->MD5 == Digest{}) return std::nullopt;
    return FlacSum(header->MD5, header->bits);
}

void FlacSum::add(std::span<const double> interleaved) {
    const double scale = std::ldexp(1.0, static_cast<int>(bits_) - 1);
    const unsigned bytes = (bits_ + 7) / 8;
    bytes_.resize(interleaved.size() * bytes);
    switch (bytes) {
        case 1:
            write_samples<1>(interleaved, scale, bytes_.data());
            break;
        case 2:
            write_samples<2>(interleaved, scale, bytes_.data());
            break;
        case 3:
            write_samples<3>(interleaved, scale, bytes_.data());
            break;
        default:
            write_samples<4>(interleaved, scale, bytes_.data());
    }
    require_MD5(MD5_Update(&state_, bytes_.data(), bytes_.size()));
}

bool FlacSum::fits() {
    Digest found{};
    require_MD5(MD5_Final(found.data(), &state_));
    return found == stated_;
}

}  // namespace earbudget::files
