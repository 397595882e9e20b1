#include "files/sound_tags.hpp"

#include <charconv>
#include <optional>
#include <string_view>

namespace earbudget::files {

namespace {

/// Where a tag behind the sound ends that begins here; none where none begins.
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

/// Where a tag behind the sound begins that ends here; none where none does.
std::optional<std::uint64_t> begin_of_tag(FileBytes& bytes, std::uint64_t end) {
    const auto at = [end](std::uint64_t before) { return end > before ? end - before : 0; };
    const auto begin = [end](std::uint64_t size) {
        return size <= end ? std::optional(end - size) : std::nullopt;
    };
    if (end >= 128 && bytes.text(at(128), 3) == "TAG") return begin(128);
    if (end >= 32 && bytes.text(at(32), 8) == "APETAGEX") {
        const bool has_head = (bytes.number(at(12), 4, ByteOrder::Little) & 0x80000000U) != 0;
        return begin(bytes.number(at(20), 4, ByteOrder::Little) + (has_head ? 32 : 0));
    }
    if (end >= 15 && bytes.text(at(9), 9) == "LYRICS200") {
        const std::string size = bytes.text(at(15), 6);
        unsigned count = 0;
        const auto read = std::from_chars(size.data(), size.data() + size.size(), count);
        return read.ptr == size.data() + size.size() ? begin(count + 15) : std::nullopt;
    }
    return std::nullopt;
}

std::uint64_t end_before_zeros(FileBytes& bytes, std::uint64_t end) {
    constexpr std::uint64_t at_once = std::uint64_t{64} << 10U;
    while (end > 0) {
        const std::uint64_t begin = end > at_once ? end - at_once : 0;
        const auto last = bytes.view(begin, end - begin).find_last_not_of('\0');
        if (last != std::string_view::npos) return begin + last + 1;
        end = begin;
    }
    return 0;
}

}  // namespace

bool only_tags_follow(FileBytes& bytes, std::uint64_t at) {
    while (bytes.after(at) > 0) {
        if (bytes.only_zeros_from(at)) return true;
        const auto end = end_of_tag(bytes, at);
        if (!end || *end > bytes.size()) return false;
        at = *end;
    }
    return true;
}

std::uint64_t end_before_tags(FileBytes& bytes) {
    constexpr int most = 16;  // own choice: one of each kind is usual
    std::uint64_t end = bytes.size();
    for (int n = 0; n < most; ++n) {
        const auto before = begin_of_tag(bytes, end).value_or(end_before_zeros(bytes, end));
        if (before >= end) return end;
        end = before;
    }
    return end;
}

}  // namespace earbudget::files
