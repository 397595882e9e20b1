#include <algorithm>
#include <cstdint>
#include <map>

#include <fmt/format.h>

#include "files/file_bytes.hpp"
#include "files/sound_structure.hpp"

namespace earbudget::files {

namespace {

constexpr std::size_t head_size = 27;  // before the table of segments
constexpr std::size_t checksum_at = 22;

/// Of a page whose own checksum counts as zero.
std::uint32_t checksum_of(std::string_view page) {
    std::string bytes(page);
    std::fill_n(bytes.begin() + checksum_at, 4, '\0');
    return checksum<std::uint32_t, 0x04C11DB7>(bytes);
}

struct Page {
    std::size_t size;
    unsigned flags;  // 2: a stream begins, 4: it ends
    std::uint32_t stream;
    std::uint32_t number;
    std::uint32_t checksum;
};

std::optional<Page> page_at(FileBytes& bytes, std::uint64_t at) {
    if (bytes.text(at, 5) != std::string("OggS\0", 5)) return std::nullopt;
    const auto number = [&](std::uint64_t offset) {
        return static_cast<std::uint32_t>(bytes.number(at + offset, 4, ByteOrder::Little));
    };
    Page page{0, bytes.byte(at + 5), number(14), number(18), number(checksum_at)};
    const unsigned segments = bytes.byte(at + 26);
    page.size = head_size + segments;
    for (const char length : bytes.text(at + head_size, segments))
        page.size += static_cast<unsigned char>(length);
    if (!bytes.good() || bytes.after(at) < page.size) return std::nullopt;
    return page;
}

/// The pages of each stream, which are numbered.
class Streams {
  public:
    /// What is wrong with a page after those before; empty for nothing.
    [[nodiscard]] std::string add(const Page& page) {
        const auto known = streams_.find(page.stream);
        const bool begins = (page.flags & 2U) != 0;
        if (begins != (known == streams_.end())) return "a page is missing";
        Stream& stream = streams_[page.stream];
        if (begins) stream.next = page.number;
        if (stream.ended) return "a stream goes on after its end";
        if (page.number != stream.next) return "a page is missing";
        // A second recording in the same file would be left out without a word.
        if (begins && any_ended_) return "another recording is joined on";
        ++stream.next;
        stream.ended = (page.flags & 4U) != 0;
        any_ended_ = any_ended_ || stream.ended;
        return "";
    }

    [[nodiscard]] bool all_ended() const {
        for (const auto& [name, stream] : streams_)
            if (!stream.ended) return false;
        return true;
    }

  private:
    struct Stream {
        std::uint32_t next = 0;
        bool ended = false;
    };
    std::map<std::uint32_t, Stream> streams_;
    bool any_ended_ = false;
};

}  // namespace

std::optional<std::string> damage_of_ogg(const OpenFile& file) {
    FileBytes bytes(file, end_of_leading_tags(file));
    if (bytes.text(0, 4) != "OggS") return std::nullopt;
    Streams streams;
    for (std::uint64_t at = 0; bytes.after(at) > 0;) {
        const auto page = page_at(bytes, at);
        if (!page && only_filling_follows(bytes, at)) break;
        if (!page) return fmt::format("damaged or truncated: no whole page at byte {}", at);
        if (checksum_of(bytes.view(at, page->size)) != page->checksum) {
            return fmt::format("damaged: the page at byte {} does not fit its checksum", at);
        }
        const std::string wrong = streams.add(*page);
        if (!wrong.empty()) return fmt::format("damaged: {}, at byte {}", wrong, at);
        at += page->size;
    }
    if (!streams.all_ended()) return "truncated: it has no end";
    return std::nullopt;
}

}  // namespace earbudget::files
