#include "files/sound_data_size.hpp"

#include <algorithm>
#include <array>
#include <fstream>
#include <string_view>

namespace earbudget::files {

namespace {

using namespace std::string_view_literals;

enum class ByteOrder { Little, Big };

/// What is written for a length that is not known yet: nothing, all ones (also as a signed number),
/// or the last whole page below 2 GiB.
constexpr std::array<std::uint64_t, 5> unknown_lengths = {0, 0xFFFFFFFF, 0x7FFFFFFF, 0x7FFFF000,
                                                          0xFFFFFFFFFFFFFFFF};

/// A file read in pieces; past its end everything is zero and `good` is false.
class Header {
  public:
    explicit Header(const std::string& path) : stream_(path, std::ios::binary) {
        stream_.seekg(0, std::ios::end);
        const auto end = stream_.tellg();
        size_ = end > 0 ? static_cast<std::uint64_t>(end) : 0;
    }

    [[nodiscard]] std::string text(std::uint64_t at, std::size_t length) {
        std::string bytes(length, '\0');
        good_ = at + length <= size_ && at + length > at;
        if (good_) {
            stream_.clear();
            stream_.seekg(static_cast<std::streamoff>(at));
            stream_.read(bytes.data(), static_cast<std::streamsize>(length));
        }
        return bytes;
    }

    [[nodiscard]] std::uint64_t number(std::uint64_t at, std::size_t length, ByteOrder order) {
        std::string bytes = text(at, length);
        if (order == ByteOrder::Little) std::reverse(bytes.begin(), bytes.end());
        std::uint64_t value = 0;
        for (const char byte : bytes)
            value = value << 8U | static_cast<unsigned char>(byte);
        return value;
    }

    [[nodiscard]] bool good() const { return good_; }

    [[nodiscard]] std::uint64_t after(std::uint64_t position) const {
        return size_ > position ? size_ - position : 0;
    }

  private:
    std::ifstream stream_;
    std::uint64_t size_ = 0;
    bool good_ = true;
};

struct Chunk {
    std::uint64_t begin;  // of what it holds
    std::uint64_t size;
};

/// A chunk of a file that consists of an identifier of four letters, a size and the contents,
/// padded to an even length, one after another.
std::optional<Chunk> find_chunk(Header& header, std::string_view name, ByteOrder order) {
    std::uint64_t at = 12;
    for (;;) {
        const std::string id = header.text(at, 4);
        const std::uint64_t size = header.number(at + 4, 4, order);
        if (!header.good()) return std::nullopt;
        if (id == name) return Chunk{at + 8, size};
        at += 8 + size + size % 2;
    }
}

ByteOrder order_of_chunks(Header& header) {
    const std::string kind = header.text(0, 4);
    return kind == "RIFX" || kind == "FORM" ? ByteOrder::Big : ByteOrder::Little;
}

/// True when nothing but whole chunks follows: after a data chunk of size 0 these are no samples.
bool only_chunks_follow(Header& header, std::uint64_t at, ByteOrder order) {
    while (header.after(at) > 0) {
        const std::string id = header.text(at, 4);
        const std::uint64_t size = header.number(at + 4, 4, order);
        const bool letters = std::ranges::all_of(id, [](char c) { return c >= ' ' && c <= '~'; });
        if (!header.good() || !letters || size > header.after(at + 8)) return false;
        at += 8 + size + size % 2;
    }
    return true;
}

/// Wave64: identifiers of 16 bytes that begin with the letters, sizes of 8 that include both,
/// padded to 8 (memory).
std::optional<Chunk> find_wave64_data(Header& header) {
    std::uint64_t at = 40;
    for (;;) {
        const std::string id = header.text(at, 4);
        const std::uint64_t size = header.number(at + 16, 8, ByteOrder::Little);
        if (!header.good() || size < 24) return std::nullopt;
        if (id == "data") return Chunk{at + 24, size - 24};
        const std::uint64_t next = at + (size + 7) / 8 * 8;
        if (next <= at) return std::nullopt;
        at = next;
    }
}

/// Core Audio Format: like find_chunk, but with sizes of 8 bytes and without padding (memory).
std::optional<Chunk> find_caf_data(Header& header) {
    std::uint64_t at = 8;
    for (;;) {
        const std::string id = header.text(at, 4);
        const std::uint64_t size = header.number(at + 4, 8, ByteOrder::Big);
        if (!header.good()) return std::nullopt;
        if (id == "data") return Chunk{at + 12, size};
        const std::uint64_t next = at + 12 + size;
        if (next <= at) return std::nullopt;
        at = next;
    }
}

std::optional<Chunk> find_data(Header& header) {
    const std::string kind = header.text(0, 4);
    if (kind == "RIFF") return find_chunk(header, "data", ByteOrder::Little);
    if (kind == "RIFX") return find_chunk(header, "data", ByteOrder::Big);
    if (kind == "FORM") return find_chunk(header, "SSND", ByteOrder::Big);
    if (kind == "riff") return find_wave64_data(header);
    if (kind == "caff") return find_caf_data(header);
    if (kind == "RF64" || kind == "BW64") {
        // EBU Tech 3306: sizes of 64 bits stand in the chunk ds64, the one of the data second.
        auto data = find_chunk(header, "data", ByteOrder::Little);
        const auto sizes = find_chunk(header, "ds64", ByteOrder::Little);
        if (data && sizes && data->size == 0xFFFFFFFF) {
            data->size = header.number(sizes->begin + 8, 8, ByteOrder::Little);
        }
        return data;
    }
    if (kind == ".snd" || kind == "dns."sv) {
        const auto order = kind == ".snd" ? ByteOrder::Big : ByteOrder::Little;
        const std::uint64_t begin = header.number(4, 4, order);
        return Chunk{begin, header.number(8, 4, order)};
    }
    return std::nullopt;
}

}  // namespace

std::optional<SoundDataSize> sound_data_size(const std::string& path) {
    Header header(path);
    const auto data = find_data(header);
    if (!data) return std::nullopt;
    const bool known =
        std::ranges::find(unknown_lengths, data->size) == unknown_lengths.end() ||
        (data->size == 0 && only_chunks_follow(header, data->begin, order_of_chunks(header)));
    const std::uint64_t rest = header.after(data->begin);
    return SoundDataSize{data->begin, data->size, known ? std::min(data->size, rest) : rest, known};
}

}  // namespace earbudget::files
