#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "files/open_file.hpp"

namespace earbudget::files {

enum class ByteOrder { Little, Big };

/// The bytes of an open file, for who walks through its structure: read in windows.
class FileBytes {
  public:
    /// Positions are counted from `begin`. The file must outlive this.
    explicit FileBytes(const OpenFile& file, std::uint64_t begin = 0);

    /// Bytes from `begin` to the end.
    [[nodiscard]] std::uint64_t size() const { return size_; }

    /// Bytes that follow a position; none beyond the end.
    [[nodiscard]] std::uint64_t after(std::uint64_t position) const {
        return size_ > position ? size_ - position : 0;
    }

    /// At most 64 KiB from a position on, fewer at the end; until the next call.
    [[nodiscard]] std::string_view view(std::uint64_t at, std::size_t length);

    /// As view, but zero where the file has ended, and then no longer `good`.
    [[nodiscard]] std::string text(std::uint64_t at, std::size_t length);
    [[nodiscard]] std::uint64_t number(std::uint64_t at, std::size_t length, ByteOrder order);
    [[nodiscard]] unsigned byte(std::uint64_t at) {
        return static_cast<unsigned>(number(at, 1, ByteOrder::Big));
    }

    /// Whether the last that was asked for was there.
    [[nodiscard]] bool good() const { return good_; }

    /// The first position from one on where another byte stands; size() where none does.
    [[nodiscard]] std::uint64_t first_unlike(std::uint64_t at, char byte);

  private:
    const OpenFile& file_;
    std::uint64_t begin_;
    std::uint64_t size_;
    std::vector<char> window_;
    std::uint64_t window_begin_ = 0;
    std::size_t window_size_ = 0;
    bool good_ = true;
};

/// Bits one after another, the highest of each byte first; after the end zeros, and no longer
/// `good`.
class Bits {
  public:
    explicit Bits(std::string_view bytes) : bytes_(bytes) {}

    [[nodiscard]] bool good() const { return good_; }
    /// Up to 32 of them as a number.
    unsigned next(unsigned count);
    /// Bytes from which something was taken.
    [[nodiscard]] std::string_view taken() const { return bytes_.substr(0, (at_ + 7) / 8); }

  private:
    std::string_view bytes_;
    std::size_t at_ = 0;
    bool good_ = true;
};

/// The number that up to eight bytes are, the highest first.
[[nodiscard]] std::uint64_t number_in(std::string_view bytes);
/// A number in so many bytes, the highest first.
[[nodiscard]] std::string bytes_of(std::uint64_t number, unsigned size);

/// A cyclic redundancy check of bytes that goes on from that of others; of the polynomial the
/// highest term is left out, and with the lowest bit first its bits are reversed.
template <class Sum, Sum Polynomial, bool LowestFirst = false>
[[nodiscard]] Sum checksum(std::string_view bytes, Sum sum = 0) {
    constexpr unsigned width = 8 * sizeof(Sum);
    static constexpr auto of_byte = [] {
        std::array<Sum, 256> table{};
        for (unsigned n = 0; n < table.size(); ++n) {
            std::uint64_t value = LowestFirst ? n : std::uint64_t{n} << (width - 8);
            for (int bit = 0; bit < 8; ++bit) {
                const bool out = (LowestFirst ? value : value >> (width - 1)) & 1U;
                value = (LowestFirst ? value >> 1U : value << 1U) ^ (out ? Polynomial : 0U);
            }
            table[n] = static_cast<Sum>(value);
        }
        return table;
    }();
    for (const char letter : bytes) {
        const auto byte = static_cast<unsigned char>(letter);
        const auto rest = std::uint64_t{sum};
        sum = LowestFirst
                  ? static_cast<Sum>(rest >> 8U ^ of_byte[(rest ^ byte) & 0xFFU])
                  : static_cast<Sum>(rest << 8U ^ of_byte[(rest >> (width - 8) ^ byte) & 0xFFU]);
    }
    return sum;
}

/// Where a tag of the kind ID3v2 ends that begins at a position (ID3v2.4.0, structure, 3.1 and 3.4;
/// memory); none where none begins.
[[nodiscard]] std::optional<std::uint64_t> end_of_id3_tag(FileBytes& bytes, std::uint64_t at);

/// Where a file's sound begins: after tags of that kind, which may stand before any format.
[[nodiscard]] std::uint64_t end_of_leading_tags(const OpenFile& file);

// What other programs leave behind the samples of a recording.

/// Where a tag ends that begins at a position: ID3v1 and ID3v2, APE, Lyrics3 (all memory); none
/// where none begins.
[[nodiscard]] std::optional<std::uint64_t> end_of_tag(FileBytes& bytes, std::uint64_t at);

/// Where the last of the tags ends that follow one another from a position on; the position where
/// none begins there.
[[nodiscard]] std::uint64_t end_of_tags(FileBytes& bytes, std::uint64_t at);

/// Whether nothing but filling, zeros or bytes of ones, lies from a position to the end: as samples
/// it would be silence.
[[nodiscard]] bool only_filling_follows(FileBytes& bytes, std::uint64_t at);

/// Whether nothing but tags and filling lies from a position to the end of the file.
[[nodiscard]] bool only_tags_follow(FileBytes& bytes, std::uint64_t at);

}  // namespace earbudget::files
