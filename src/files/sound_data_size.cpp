#include <algorithm>
#include <array>
#include <string_view>
#include <vector>

#include "files/file_bytes.hpp"
#include "files/sound_structure.hpp"

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
    if (form.size_counts_both && size < form.head()) return std::nullopt;
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

// Of chunks that stand behind samples in WAV and AIFF files (EBU Tech 3285 for bext, levl, link,
// axml and _PMX; the others as common practice, without a source).
constexpr std::array<std::string_view, 22> known_chunks = {
    "LIST", "INFO", "bext", "iXML", "axml", "_PMX", "levl", "link", "cue ", "plst", "labl",
    "note", "smpl", "inst", "fact", "PEAK", "id3 ", "ID3 ", "JUNK", "junk", "PAD ", "FLLR"};

bool is_known(std::string_view name) {
    return std::ranges::find(known_chunks, name) != known_chunks.end();
}

/// The whole chunk of something else than samples that begins here.
std::optional<Chunk> whole_other_chunk(FileBytes& bytes, std::uint64_t at, const ChunkForm& form) {
    const auto found = chunk_at(bytes, at, form);
    if (!found || found->name == form.data || found->chunk.size > bytes.after(found->chunk.begin)) {
        return std::nullopt;
    }
    const bool letters =
        std::ranges::all_of(found->name, [](char c) { return c >= ' ' && c <= '~'; });
    return letters ? std::optional(found->chunk) : std::nullopt;
}

/// Something else than samples that begins here, a chunk or tags. A chunk with a known name is one
/// also where it is cut off.
std::optional<Chunk> other_at(FileBytes& bytes, std::uint64_t at, const ChunkForm& form) {
    if (const auto chunk = whole_other_chunk(bytes, at, form)) return chunk;
    if (is_known(bytes.text(at, 4))) return Chunk{at, bytes.after(at)};
    const std::uint64_t end = end_of_tags(bytes, at);
    return end > at ? std::optional(Chunk{at, end - at}) : std::nullopt;
}

/// Where all that is something else ends that follows from here on. Not all writers pad a chunk,
/// and some fill up with zeros between two.
std::uint64_t end_of_others(FileBytes& bytes, std::uint64_t unpadded, std::uint64_t padded,
                            const ChunkForm& form) {
    for (;;) {
        std::optional<Chunk> other;
        const std::uint64_t behind_zeros = bytes.first_unlike(unpadded, '\0');
        for (const std::uint64_t at : {padded, unpadded, behind_zeros}) {
            if (bytes.after(at) == 0) return bytes.size();
            other = other_at(bytes, at, form);
            if (other) break;
        }
        if (!other) return padded;
        unpadded = other->begin + other->size;
        padded = behind(*other, form.padded_to).value_or(unpadded);
    }
}

/// Where the chunks begin with which a file ends whose samples have no known length: the earliest
/// known name near its end from which whole chunks lead to the end; the end where there is none.
std::uint64_t begin_of_last_chunks(FileBytes& bytes, std::uint64_t from, const ChunkForm& form) {
    constexpr std::uint64_t farthest = 1U << 20U;
    const std::uint64_t size = bytes.size();
    const std::uint64_t first = std::max(from, size - std::min(size, farthest));
    // Where one way has passed in vain another need not: there may be a chunk every eight bytes.
    std::vector<bool> passed(static_cast<std::size_t>(size - std::min(first, size)));
    for (std::uint64_t at = first; at < size; ++at) {
        if (!is_known(bytes.view(at, 4))) continue;
        std::optional<std::uint64_t> next = at;
        while (next && *next < size) {
            auto is_passed = passed[static_cast<std::size_t>(*next - first)];
            if (is_passed) next.reset();
            if (!next) break;
            is_passed = true;
            const auto chunk = whole_other_chunk(bytes, *next, form);
            next = chunk ? behind(*chunk, form.padded_to) : std::nullopt;
        }
        if (next) return at;
    }
    return size;
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
    const std::uint64_t rest =
        data.form ? end_of_others(bytes, end, *padded, *data.form) : end_of_tags(bytes, *padded);
    // A line end, remains of a page: too few to be a recording's.
    constexpr std::uint64_t least_samples = 32;
    const bool is_none = bytes.after(rest) < least_samples || only_filling_follows(bytes, rest);
    return is_none ? 0 : bytes.after(rest);
}

}  // namespace

std::optional<SoundDataSize> sound_data_size(const OpenFile& file) {
    const std::uint64_t tags = end_of_leading_tags(file);
    FileBytes bytes(file, tags);
    const auto data = find_data(bytes);
    if (!data) return std::nullopt;
    const auto [begin, size] = data->chunk;
    const std::uint64_t beyond = bytes_beyond(bytes, *data);
    const bool known = std::ranges::find(unknown_lengths, size) == unknown_lengths.end() ||
                       (size == 0 && beyond == 0);
    const std::uint64_t end =
        known || !data->form ? bytes.size() : begin_of_last_chunks(bytes, begin, *data->form);
    const std::uint64_t rest = end > begin ? end - begin : 0;
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
