#include "files/sound_data_size.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include "files/file_bytes.hpp"

namespace earbudget::files {

namespace {

using namespace std::string_view_literals;

/// What is written for a length that is not known yet: nothing, all ones (also as a signed number),
/// or the last whole page below 2 GiB.
constexpr std::array<std::uint64_t, 5> unknown_lengths = {0, 0xFFFFFFFF, 0x7FFFFFFF, 0x7FFFF000,
                                                          0xFFFFFFFFFFFFFFFF};

struct Chunk {
    std::uint64_t begin;  // of what it holds
    std::uint64_t size;
    bool possible = true;  // false: smaller than its own head, which it includes
};

/// How the chunks of a kind of file follow one another: an identifier that begins with four
/// letters, a size, and the contents, padded to a multiple.
struct ChunkForm {
    std::string_view data;   ///< the identifier of the samples' chunk
    std::uint64_t first;     ///< position of the first chunk
    std::size_t identifier;  ///< bytes
    std::size_t size;        ///< bytes of the size
    bool size_counts_both;   ///< identifier and size are counted in it
    std::uint64_t padded_to;
    ByteOrder order;

    [[nodiscard]] std::uint64_t head() const { return identifier + size; }
};

constexpr ChunkForm riff = {"data", 12, 4, 4, false, 2, ByteOrder::Little};
constexpr ChunkForm rifx = {"data", 12, 4, 4, false, 2, ByteOrder::Big};
constexpr ChunkForm aiff = {"SSND", 12, 4, 4, false, 2, ByteOrder::Big};
/// Wave64: identifiers of 16 bytes, sizes of 8 that include both (memory).
constexpr ChunkForm wave64 = {"data", 40, 16, 8, true, 8, ByteOrder::Little};
/// Core Audio Format: sizes of 8 bytes, no padding (memory).
constexpr ChunkForm caf = {"data", 8, 4, 8, false, 1, ByteOrder::Big};

struct NamedChunk {
    std::string name;  // four letters
    Chunk chunk;
};

/// The chunk that begins at a position; none where none can, or where its head is cut off.
std::optional<NamedChunk> chunk_at(FileBytes& bytes, std::uint64_t at, const ChunkForm& form) {
    std::string name = bytes.text(at, 4);
    std::uint64_t size = bytes.number(at + form.identifier, form.size, form.order);
    if (!bytes.good()) return std::nullopt;
    if (form.size_counts_both && size < form.head()) {
        // Of the samples' chunk it must be told: decoders read on from there all the same.
        if (name != form.data) return std::nullopt;
        return NamedChunk{std::move(name), {at + form.head(), 0, false}};
    }
    if (form.size_counts_both) size -= form.head();
    return NamedChunk{std::move(name), {at + form.head(), size}};
}

/// Where the next chunk begins; none beyond all positions.
std::optional<std::uint64_t> behind(const Chunk& chunk, std::uint64_t padded_to) {
    const std::uint64_t padding = (padded_to - chunk.size % padded_to) % padded_to;
    const std::uint64_t next = chunk.begin + chunk.size + padding;
    if (next < chunk.begin || next < chunk.size) return std::nullopt;
    return next;
}

std::optional<Chunk> find_chunk(FileBytes& bytes, std::string_view name, const ChunkForm& form) {
    std::optional<std::uint64_t> at = form.first;
    while (at) {
        const auto found = chunk_at(bytes, *at, form);
        if (!found) return std::nullopt;
        if (found->name == name) return found->chunk;
        at = behind(found->chunk, form.padded_to);
    }
    return std::nullopt;
}

/// Whether a whole chunk of something else than samples begins here.
bool is_other_chunk(const NamedChunk& found, FileBytes& bytes, const ChunkForm& form) {
    const bool letters =
        std::ranges::all_of(found.name, [](char c) { return c >= ' ' && c <= '~'; });
    return letters && found.name != form.data && found.chunk.size <= bytes.after(found.chunk.begin);
}

/// Where the chunks end that follow from here on: the end of the file, or of what can be taken for
/// chunks. Not all writers pad a chunk.
std::uint64_t end_of_chunks(FileBytes& bytes, std::uint64_t unpadded, std::uint64_t padded,
                            const ChunkForm& form) {
    for (;;) {
        std::optional<NamedChunk> next;
        for (const std::uint64_t at : {padded, unpadded}) {
            if (bytes.after(at) == 0) return bytes.size();
            next = chunk_at(bytes, at, form);
            if (next && is_other_chunk(*next, bytes, form)) break;
            next.reset();
        }
        if (!next) return padded;
        unpadded = next->chunk.begin + next->chunk.size;
        padded = behind(next->chunk, form.padded_to).value_or(unpadded);
    }
}

/// The samples, and the form of the chunks around them; none where there are no chunks.
struct Data {
    Chunk chunk;
    const ChunkForm* form = nullptr;
};

std::optional<Data> in_chunks(FileBytes& bytes, const ChunkForm& form) {
    const auto chunk = find_chunk(bytes, form.data, form);
    return chunk ? std::optional(Data{*chunk, &form}) : std::nullopt;
}

std::optional<Data> find_data(FileBytes& bytes) {
    const std::string kind = bytes.text(0, 4);
    if (kind == "RIFF") return in_chunks(bytes, riff);
    if (kind == "RIFX") return in_chunks(bytes, rifx);
    if (kind == "FORM") return in_chunks(bytes, aiff);
    if (kind == "riff") return in_chunks(bytes, wave64);
    if (kind == "caff") return in_chunks(bytes, caf);
    if (kind == "RF64" || kind == "BW64") {
        // EBU Tech 3306: sizes of 64 bits stand in the chunk ds64, the one of the data second.
        auto data = in_chunks(bytes, riff);
        const auto sizes = find_chunk(bytes, "ds64", riff);
        if (data && sizes && data->chunk.size == 0xFFFFFFFF) {
            data->chunk.size = bytes.number(sizes->begin + 8, 8, ByteOrder::Little);
        }
        return data;
    }
    if (kind == ".snd" || kind == "dns."sv) {
        const auto order = kind == ".snd" ? ByteOrder::Big : ByteOrder::Little;
        const std::uint64_t begin = bytes.number(4, 4, order);
        return Data{{begin, bytes.number(8, 4, order)}};
    }
    return std::nullopt;
}

/// Bytes behind the samples that are nothing else; see SoundDataSize.
std::uint64_t bytes_beyond(FileBytes& bytes, const Data& data) {
    const std::uint64_t end = data.chunk.begin + data.chunk.size;
    const auto padded = behind(data.chunk, data.form ? data.form->padded_to : 1);
    if (!padded || bytes.after(end) == 0) return 0;
    const std::uint64_t rest = data.form ? end_of_chunks(bytes, end, *padded, *data.form) : *padded;
    return bytes.only_zeros_from(rest) ? 0 : bytes.after(rest);
}

}  // namespace

std::optional<SoundDataSize> sound_data_size(const OpenFile& file) {
    const std::uint64_t tags = end_of_leading_tags(file);
    FileBytes bytes(file, tags);
    const auto data = find_data(bytes);
    if (!data) return std::nullopt;
    const auto [begin, size, possible] = data->chunk;
    if (!possible) return SoundDataSize{.begin = tags + begin, .possible = false};
    const std::uint64_t beyond = bytes_beyond(bytes, *data);
    const bool known = std::ranges::find(unknown_lengths, size) == unknown_lengths.end() ||
                       (size == 0 && beyond == 0);
    const std::uint64_t rest = bytes.after(begin);
    return SoundDataSize{.begin = tags + begin,
                         .announced = size,
                         .present = known ? std::min(size, rest) : rest,
                         .known = known,
                         .beyond = known ? beyond : 0};
}

bool is_core_audio(const OpenFile& file) {
    return FileBytes(file, end_of_leading_tags(file)).text(0, 4) == "caff";
}

}  // namespace earbudget::files
