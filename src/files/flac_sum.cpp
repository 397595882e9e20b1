#include "files/flac_sum.hpp"

#include <cmath>
#include <cstdint>
#include <stdexcept>

#include "files/flac_header.hpp"

namespace earbudget::files {

namespace {

void require(int succeeded) {
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

FlacSum::FlacSum(const Digest& stated, unsigned bits) : stated_(stated), bits_(bits) {
    require(MD5_Init(&state_));
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
    require(MD5_Update(&state_, bytes_.data(), bytes_.size()));
}

bool FlacSum::fits() {
    Digest found{};
    require(MD5_Final(found.data(), &state_));
    return found == stated_;
}

}  // namespace earbudget::files
