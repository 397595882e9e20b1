#include <algorithm>
#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include <fmt/format.h>

#include "files/file_bytes.hpp"
#include "files/flac_inside.hpp"
#include "files/sound_structure.hpp"

namespace earbudget::files {

std::optional<FlacHeader> flac_header(const OpenFile& file) {
    const std::uint64_t begin = end_of_leading_tags(file);
    FileBytes bytes(file, begin);
    if (bytes.text(0, 4) != "fLaC") return std::nullopt;
    // Of 64 bits: 20 of the rate, 3 of the channels, 5 of the bits, 36 of the samples.
    const auto sampling = bytes.number(18, 8, ByteOrder::Big);
    FlacHeader header{.begin = begin,
                      .block_size = static_cast<unsigned>(bytes.number(10, 2, ByteOrder::Big)),
                      .sample_rate = static_cast<unsigned>(sampling >> 44U),
                      .channels = static_cast<unsigned>(sampling >> 41U & 7U) + 1,
                      .bits = static_cast<unsigned>(sampling >> 36U & 31U) + 1,
                      .samples = sampling & 0xFFFFFFFFF,
                      .MD5 = {}};
    std::ranges::copy(bytes.text(26, header.MD5.size()), header.MD5.begin());
    return header;
}

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

/// A number of up to 36 bits, longer the larger it is, as UTF-8 would have it; none where it is
/// none.
std::optional<std::uint64_t> take_coded(Bits& bits) {
    unsigned more = 0;
    while (more < 7 && bits.next(1) == 1)
        ++more;
    if (more == 1) return std::nullopt;
    std::uint64_t value = bits.next(more < 7 ? 7 - more : 1);
    if (more == 7) value = 0;  // that first byte has no bits of the number
    for (; more > 1; --more)
        value = value << 6U | (bits.next(8) & 0x3FU);
    return value;
}

unsigned block_size_of(unsigned code, Bits& bits) {
    if (code == 1) return 192;
    if (code >= 2 && code <= 5) return 576U << (code - 2);
    if (code == 6) return bits.next(8) + 1;
    if (code == 7) return bits.next(16) + 1;
    return code >= 8 ? 256U << (code - 8) : 0;
}

unsigned sample_rate_of(unsigned code, Bits& bits) {
    if (code < frame_sample_rates.size()) return frame_sample_rates.at(code);
    if (code == 12) return 1000 * bits.next(8);
    return code == 13 ? bits.next(16) : 10 * bits.next(16);
}

/// The head of a frame at the begin of some bytes; none where it is none.
std::optional<Frame> frame_at(std::string_view bytes) {
    Bits bits(bytes);
    const bool is_synchronous = bits.next(15) == 0x7FFC;
    const bool counts_samples = bits.next(1) == 1;
    const unsigned block_size = bits.next(4);
    const unsigned sample_rate = bits.next(4);
    const unsigned channels = bits.next(4);
    bits.next(4);
    if (!is_synchronous || sample_rate == 15 || channels > 10) return std::nullopt;
    const auto number = take_coded(bits);
    if (!number) return std::nullopt;
    Frame frame{.channels = channels < 8 ? channels + 1 : 2,
                .number = *number,
                .counts_samples = counts_samples};
    frame.block_size = block_size_of(block_size, bits);
    frame.sample_rate = sample_rate_of(sample_rate, bits);
    const std::uint8_t sum = checksum<std::uint8_t, 0x07>(bits.taken());
    const bool fits = bits.next(8) == sum;
    return bits.good() && fits && frame.block_size > 0 ? std::optional(frame) : std::nullopt;
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

}  // namespace

std::optional<FlacEnd> flac_end(const OpenFile& file) {
    const auto header = flac_header(file);
    if (!header) return std::nullopt;
    const std::uint64_t begin = header->begin + FlacHeader::head;
    const auto last = find_last_frame(file, std::min(begin, file.size()), *header);
    FlacEnd end;
    end.announced = header->samples;
    end.begin = begin;
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

/// Its marker with the head of its first block.
void FlacInside::look_in(std::uint64_t at, std::string_view bytes) {
    for (std::size_t n = bytes.find("fLaC"); n != std::string_view::npos && !found_;
         n = bytes.find("fLaC", n + 1)) {
        const auto head = bytes.substr(n, FlacHeader::head);
        if (head.size() == FlacHeader::head && (number_in(head.substr(4)) & 0x7FFFFFFFU) == 0x22)
            found_ = at + n;
    }
}

void FlacInside::look_at(std::uint64_t at, std::string_view bytes) {
    if (found_ || at > next_ || at + bytes.size() <= next_) return;
    bytes.remove_prefix(static_cast<std::size_t>(next_ - at));
    constexpr std::size_t overlap = FlacHeader::head - 1;
    // What begins in the bytes before goes on in these.
    const std::uint64_t began = next_ - before_.size();
    before_ += bytes.substr(0, overlap);
    look_in(began, before_);
    look_in(next_, bytes);
    if (bytes.size() >= overlap) before_ = bytes.substr(bytes.size() - overlap);
    if (before_.size() > overlap) before_.erase(0, before_.size() - overlap);
    next_ += bytes.size();
}

std::optional<std::uint64_t> FlacInside::begin_in(const OpenFile& file) {
    std::string bytes(std::size_t{64} << 10U, '\0');
    while (!found_ && next_ < file.size()) {
        const std::size_t got = file.read_at(next_, bytes);
        if (got == 0) break;
        look_at(next_, std::string_view(bytes).substr(0, got));
    }
    return found_;
}

}  // namespace earbudget::files
