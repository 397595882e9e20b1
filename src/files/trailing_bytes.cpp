#include "files/trailing_bytes.hpp"

#include <string_view>

namespace earbudget::files {

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
