#include <algorithm>
#include <array>
#include <string_view>

#include <fmt/format.h>

#include "files/sound_structure.hpp"

namespace earbudget::files {

namespace {

// By the code in a frame's head; 0: as the file's header says.
constexpr std::array<unsigned, 12> frame_sample_rates = {
    0, 88200, 176400, 192000, 8000, 16000, 22050, 24000, 32000, 44100, 48000, 96000};

struct Frame {
    unsigned block_size = 0;
    unsigned sample_rate = 0;
    unsigned channels = 0;
    std::uint64_t number = 0;  ///< of the frame, or of its first sample
    bool counts_samples = false;
};

unsigned char byte_of(std::string_view bytes, std::size_t at) {
    return static_cast<unsigned char>(bytes[at]);
}

std::uint8_t checksum_of_head(std::string_view bytes) {
    unsigned sum = 0;
    for (const char byte : bytes) {
        sum ^= static_cast<unsigned char>(byte);
        for (int bit = 0; bit < 8; ++bit)
            sum = ((sum << 1U) ^ ((sum & 0x80U) != 0 ? 0x07U : 0U)) & 0xFFU;
    }
    return static_cast<std::uint8_t>(sum);
}

/// Takes numbers from the begin of a text; after its end they are 0 and `good` is false.
struct Reader {
    std::string_view bytes;
    std::size_t at = 0;
    bool good = true;

    unsigned next(std::size_t count) {
        unsigned value = 0;
        for (; count > 0; --count) {
            good = good && at < bytes.size();
            value = value << 8U | (good ? byte_of(bytes, at++) : 0U);
        }
        return value;
    }

    /// A number of up to 36 bits, longer the larger it is, as UTF-8 would have it.
    std::uint64_t next_coded() {
        const unsigned first = next(1);
        unsigned more = 0;
        while (more < 7 && (first & 0x80U >> more) != 0)
            ++more;
        if (more == 0) return first;
        good = good && more != 1;
        std::uint64_t value = first & (0x7FU >> more);
        for (; more > 1; --more)
            value = value << 6U | (next(1) & 0x3FU);
        return value;
    }
};

unsigned block_size_of(unsigned code, Reader& reader) {
    if (code == 1) return 192;
    if (code >= 2 && code <= 5) return 576U << (code - 2);
    if (code == 6) return reader.next(1) + 1;
    if (code == 7) return reader.next(2) + 1;
    return code >= 8 ? 256U << (code - 8) : 0;
}

unsigned sample_rate_of(unsigned code, Reader& reader) {
    if (code < frame_sample_rates.size()) return frame_sample_rates.at(code);
    if (code == 12) return 1000 * reader.next(1);
    return code == 13 ? reader.next(2) : 10 * reader.next(2);
}

/// The head of a frame at the begin of some bytes; none where it is none.
std::optional<Frame> frame_at(std::string_view bytes) {
    Reader reader{bytes};
    const unsigned sync = reader.next(2);
    const unsigned sizes = reader.next(1);
    const unsigned channels = reader.next(1) >> 4U;
    if ((sync & 0xFFFEU) != 0xFFF8 || (sizes & 0xFU) == 15 || channels > 10) return std::nullopt;
    Frame frame{.channels = channels < 8 ? channels + 1 : 2, .counts_samples = (sync & 1U) != 0};
    frame.number = reader.next_coded();
    frame.block_size = block_size_of(sizes >> 4U, reader);
    frame.sample_rate = sample_rate_of(sizes & 0xFU, reader);
    const auto head = bytes.substr(0, reader.at);
    const bool fits = reader.next(1) == checksum_of_head(head);
    return reader.good && fits && frame.block_size > 0 ? std::optional(frame) : std::nullopt;
}

/// A frame near the end, and whether it ends there.
struct LastFrame {
    Frame frame;
    bool is_whole;
};

bool fits(const Frame& frame, const FlacHeader& header) {
    return frame.channels == header.channels &&
           (frame.sample_rate == 0 || frame.sample_rate == header.sample_rate);
}

/// The last frame that is whole, else the last head of one that fits the file's: the frame may be
/// cut off, or something follow it.
std::optional<LastFrame> last_frame(std::string_view end, const FlacHeader& header) {
    constexpr int most_tried = 8;
    std::optional<LastFrame> last;
    int tried = 0;
    std::size_t at = end.rfind('\xFF');
    while (at != std::string_view::npos && tried < most_tried) {
        const auto rest = end.substr(at);
        at = at > 0 ? end.rfind('\xFF', at - 1) : std::string_view::npos;
        const auto frame = frame_at(rest);
        if (!frame) continue;
        ++tried;
        // With its own checksum behind, the checksum of a frame is 0, and that of several, also
        // with zeros behind.
        if (mpeg_checksum(rest, 0) == 0) return LastFrame{*frame, true};
        if (!last && fits(*frame, header)) last = LastFrame{*frame, false};
    }
    return last;
}

/// Frames may be longer than one thinks: 8 channels of 24 bits have up to 1.5 MB.
std::optional<LastFrame> find_last_frame(const OpenFile& file, std::uint64_t begin,
                                         const FlacHeader& header) {
    std::optional<LastFrame> last;
    std::string end;
    for (const std::size_t longest : {std::size_t{64} << 10U, std::size_t{4} << 20U}) {
        const std::uint64_t size = std::min<std::uint64_t>(longest, file.size() - begin);
        end.resize(static_cast<std::size_t>(size));
        end.resize(file.read_at(file.size() - size, end));
        last = last_frame(end, header);
        if (last && last->is_whole) break;
    }
    return last;
}

/// Where another file of the kind begins inside: its marker with the head of its first block.
std::optional<std::uint64_t> begin_of_another(const OpenFile& file, std::uint64_t from) {
    constexpr std::size_t block = std::size_t{1} << 20U;
    std::string bytes(block, '\0');
    while (from < file.size()) {
        const std::size_t got = file.read_at(from, bytes);
        const std::string_view read(bytes.data(), got);
        for (std::size_t at = read.find("fLaC"); at != std::string_view::npos;
             at = read.find("fLaC", at + 1)) {
            const auto head = read.substr(at, FlacHeader::head);
            if (head.size() == FlacHeader::head && (byte_of(head, 4) & 0x7FU) == 0 &&
                head.substr(5) == std::string_view("\0\0\x22", 3)) {
                return from + at;
            }
        }
        if (got < FlacHeader::head) break;
        from += got - (FlacHeader::head - 1);
    }
    return std::nullopt;
}

}  // namespace

std::optional<FlacEnd> flac_end(const OpenFile& file) {
    const auto header = flac_header(file);
    if (!header) return std::nullopt;
    const std::uint64_t begin = header->begin + FlacHeader::head;
    const auto last = find_last_frame(file, std::min(begin, file.size()), *header);
    FlacEnd end;
    end.announced = header->samples;
    end.another_begins = begin_of_another(file, begin);
    if (!last) return end;
    const Frame& frame = last->frame;
    end.samples = frame.number * (frame.counts_samples ? 1 : header->block_size) +
                  (last->is_whole ? frame.block_size : 0);
    if (frame.sample_rate != 0 && frame.sample_rate != header->sample_rate) {
        end.damage = fmt::format("damaged: its header says {} Hz, its frames {} Hz",
                                 header->sample_rate, frame.sample_rate);
    } else if (frame.channels != header->channels) {
        end.damage = fmt::format("damaged: its header says {} channels, its frames {}",
                                 header->channels, frame.channels);
    }
    return end;
}

}  // namespace earbudget::files
