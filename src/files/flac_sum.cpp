#include "files/flac_sum.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <stdexcept>
#include <string>

#include "files/file_bytes.hpp"

namespace earbudget::files {

namespace {

constexpr std::uint64_t bits_at = 20;  // behind "fLaC", the first block's head and its sizes
constexpr std::uint64_t sum_at = 26;

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
    FileBytes bytes(file, end_of_leading_tags(file));
    if (bytes.text(0, 4) != "fLaC") return std::nullopt;
    const auto bits =
        static_cast<unsigned>(bytes.number(bits_at, 2, ByteOrder::Big) >> 4U & 31U) + 1;
    const std::string sum = bytes.text(sum_at, MD5_DIGEST_LENGTH);
    Digest stated{};
    std::ranges::copy(sum, stated.begin());
    if (std::ranges::all_of(stated, [](unsigned char byte) { return byte == 0; }))
        return std::nullopt;
    return FlacSum(stated, bits);
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
