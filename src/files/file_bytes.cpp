#include "files/file_bytes.hpp"

#include <algorithm>
#include <string_view>

namespace earbudget::files {

namespace {

constexpr std::size_t longest_view = std::size_t{64} << 10U;
constexpr std::size_t window_size = 2 * longest_view;

}  // namespace

FileBytes::FileBytes(const OpenFile& file, std::uint64_t begin)
    : file_(file), begin_(begin), size_(file.size() > begin ? file.size() - begin : 0) {}

std::string_view FileBytes::view(std::uint64_t at, std::size_t length) {
    const auto wanted = static_cast<std::size_t>(
        std::min<std::uint64_t>(std::min(length, longest_view), after(at)));
    if (wanted == 0) return {};
    if (at < window_begin_ || at + wanted > window_begin_ + window_size_) {
        window_.resize(window_size);
        window_begin_ = at;
        window_size_ = file_.read_at(begin_ + at, window_);
    }
    const auto offset = static_cast<std::size_t>(at - window_begin_);
    return std::string_view(window_.data(), window_size_).substr(offset, wanted);
}

std::string FileBytes::text(std::uint64_t at, std::size_t length) {
    std::string bytes(view(at, length));
    good_ = bytes.size() == length;
    bytes.resize(length, '\0');
    return good_ ? bytes : std::string(length, '\0');
}

std::uint64_t FileBytes::number(std::uint64_t at, std::size_t length, ByteOrder order) {
    std::string bytes = text(at, length);
    if (order == ByteOrder::Little) std::reverse(bytes.begin(), bytes.end());
    return number_in(bytes);
}

std::uint64_t FileBytes::first_unlike(std::uint64_t at, char byte) {
    while (after(at) > 0) {
        const auto bytes = view(at, longest_view);
        const auto other = bytes.find_first_not_of(byte);
        if (other != std::string_view::npos) return at + other;
        if (bytes.empty()) return at;
        at += bytes.size();
    }
    return size();
}

unsigned Bits::next(unsigned count) {
    unsigned value = 0;
    for (; count > 0; --count, ++at_) {
        good_ = good_ && at_ < 8 * bytes_.size();
        const unsigned byte = good_ ? static_cast<unsigned char>(bytes_[at_ / 8]) : 0U;
        value = value << 1U | (byte >> (7 - at_ % 8) & 1U);
    }
    return value;
}

std::uint64_t number_in(std::string_view bytes) {
    std::uint64_t value = 0;
    for (const char byte : bytes)
        value = value << 8U | static_cast<unsigned char>(byte);
    return value;
}

std::string bytes_of(std::uint64_t number, unsigned size) {
    std::string bytes;
    while (size-- > 0)
        bytes += static_cast<char>(number >> 8 * size & 0xFFU);
    return bytes;
}

std::optional<std::uint64_t> end_of_id3_tag(FileBytes& bytes, std::uint64_t at) {
    if (bytes.text(at, 3) != "ID3") return std::nullopt;
    std::uint64_t size = 0;  // seven bits a byte
    for (std::uint64_t n = 6; n < 10; ++n)
        size = size << 7U | (bytes.byte(at + n) & 0x7FU);
    const bool has_footer = (bytes.byte(at + 5) & 0x10U) != 0;
    return at + 10 + size + (has_footer ? 10 : 0);
}

std::uint64_t end_of_leading_tags(const OpenFile& file) {
    FileBytes bytes(file);
    std::uint64_t at = 0;
    while (const auto end = end_of_id3_tag(bytes, at))
        at = *end;
    return at;
}

std::optional<std::uint64_t> end_of_tag(FileBytes& bytes, std::uint64_t at) {
    if (bytes.text(at, 3) == "TAG") return at + 128;
    if (bytes.text(at, 8) == "APETAGEX") {
        // The size stands in head and foot alike and counts the foot alone.
        const bool is_foot = (bytes.number(at + 20, 4, ByteOrder::Little) & 0x20000000U) == 0;
        return at + 32 + (is_foot ? 0 : bytes.number(at + 12, 4, ByteOrder::Little));
    }
    if (bytes.text(at, 11) == "LYRICSBEGIN") {
        const auto rest = bytes.view(at, std::size_t{64} << 10U);
        for (const std::string_view end : {"LYRICS200", "LYRICSEND"}) {
            const auto found = rest.find(end);
            if (found != std::string_view::npos) return at + found + end.size();
        }
    }
    return end_of_id3_tag(bytes, at);
}

std::uint64_t end_of_tags(FileBytes& bytes, std::uint64_t at) {
    while (const auto end = end_of_tag(bytes, at)) {
        if (*end > bytes.size()) break;
        at = *end;
    }
    return at;
}

bool only_filling_follows(FileBytes& bytes, std::uint64_t at) {
    constexpr char ones = '\xFF';
    if (bytes.text(at, 1).front() != ones) return bytes.first_unlike(at, '\0') == bytes.size();
    return bytes.first_unlike(at, ones) == bytes.size();
}

bool only_tags_follow(FileBytes& bytes, std::uint64_t at) {
    return only_filling_follows(bytes, end_of_tags(bytes, at));
}

}  // namespace earbudget::files
