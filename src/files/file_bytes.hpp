#pragma once

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
