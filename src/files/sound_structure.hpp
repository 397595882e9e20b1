#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "files/open_file.hpp"
#include "files/sound_decoder.hpp"

// What it names in its place allocates: some 5000 times to load a provider, and does not bear
// every failure of one.
#ifndef OPENSSL_SUPPRESS_DEPRECATED
#define OPENSSL_SUPPRESS_DEPRECATED
#endif
#include <openssl/md5.h>

namespace earbudget::files {

/// What a FLAC file's first block of metadata states (RFC 9639, 8.2; memory).
struct FlacHeader {
    std::uint64_t begin;  ///< position of the file's marker, behind tags
    unsigned block_size;  ///< samples of a frame, at most
    unsigned sample_rate;
    unsigned channels;
    unsigned bits;                      ///< of a sample
    std::uint64_t samples;              ///< of each channel; 0: not known
    std::array<unsigned char, 16> MD5;  ///< of all samples; zeros: not stated

    /// Bytes of the marker and of the head of the first block.
    static constexpr std::size_t head = 8;
};

/// None for other files.
[[nodiscard]] std::optional<FlacHeader> flac_header(const OpenFile& file);

/// The MD5 that a FLAC file's header states of all its samples, computed anew from those that are
/// decoded: whole numbers of the stated bits, with their sign in as many bytes as they need, the
/// lowest first, channel by channel of each frame (RFC 9639, 8.2). It tells frames that are whole
/// but lost, doubled or of another recording.
class FlacSum {
  public:
    /// None for other files, and where the header states none (zeros).
    [[nodiscard]] static std::optional<FlacSum> stated_by(const OpenFile& file);

    /// The next samples, full scale at 1.
    void add(std::span<const double> interleaved);

    /// Whether the samples added are those that the header's sum is of. Called once, at the end.
    [[nodiscard]] bool fits();

  private:
    using Digest = std::array<unsigned char, MD5_DIGEST_LENGTH>;

    FlacSum(const Digest& stated, unsigned bits);

    Digest stated_;
    unsigned bits_;
    MD5_CTX state_ = {};
    std::vector<unsigned char> bytes_;
};

/// What the four bytes say that begin a frame of MPEG sound (ISO/IEC 11172-3, 2.4.1.3 and 2.4.2.3;
/// ISO/IEC 13818-3, 2.4.2.3; MPEG 2.5 after the practice of decoders; all memory).
struct MpegHeader {
    bool is_first_version;  ///< MPEG 1; else 2 or 2.5
    unsigned layer;         ///< 1 to 3
    bool has_checksum;
    unsigned sample_rate;  ///< Hz
    unsigned channels;
    std::size_t frame_size;  ///< bytes, with the header

    /// Whether a frame can follow another in one stream.
    [[nodiscard]] bool continues(const MpegHeader& other) const;

    /// Where layer III says how its frame is coded, and how long that is.
    [[nodiscard]] std::size_t side_begin() const { return has_checksum ? 6 : 4; }
    [[nodiscard]] std::size_t side_size() const;

    /// Of each channel, in one frame.
    [[nodiscard]] unsigned samples() const;
};

/// None for what no frame begins with, and for a bit rate that is not stated ("free format").
[[nodiscard]] std::optional<MpegHeader> mpeg_header(std::string_view bytes);

/// What frames of MPEG layer III say of how they are coded, held against what can be: the samples
/// of a frame may begin in those before, never among the samples of the one before, and never end
/// behind the frame (ISO/IEC 11172-3, 2.4.1.7 and 2.4.2.7; 13818-3, 2.4.1.7; memory).
class MpegSides {
  public:
    /// What is wrong with the next whole frame; empty for nothing.
    [[nodiscard]] std::string add(const MpegHeader& header, std::string_view frame);

  private:
    // Positions in the bytes that all frames have for their samples, put together.
    std::uint64_t room_ = 0;  // of the frames so far
    std::uint64_t used_ = 0;  // up to here by samples
};

/// CRC-16 of bytes, polynomial 0x8005, as frames bear it (ISO/IEC 11172-3, 2.4.3.1; memory).
[[nodiscard]] std::uint16_t mpeg_checksum(std::string_view bytes, std::uint16_t start);

// What a recording's own structure shows before it is decoded.

/// What is damaged about an Ogg file, which says of itself where its pages end and bears a checksum
/// of each (RFC 3533, 6; memory): bytes between pages, a page that is not as it was written, one
/// that is missing, no end. None for a whole one, and for a file that is no Ogg file.
[[nodiscard]] std::optional<std::string> damage_of_ogg(const OpenFile& file);

/// Where a sound file's samples begin, and how many bytes of them there are.
struct SoundDataSize {
    std::uint64_t begin;
    std::uint64_t announced;  ///< by the header
    std::uint64_t present;    ///< from `begin` to the end of the file, or chunks there, at most

    /// False where the header was written before the length was known, as by a recorder that
    /// streams: it then announces 0, or the largest number that fits.
    bool known;

    /// Bytes behind the announced samples that are neither chunks of something else, padded or not,
    /// nor tags, nor filling to the end, nor fewer than 32: samples, by all that can be told. More
    /// chunks of samples, of which the first alone is read, count as well.
    std::uint64_t beyond;

    [[nodiscard]] bool truncated() const { return known && present < announced; }
};

/// The sizes for WAV (also RIFX, RF64, BW64), Wave64, AIFF, CAF and AU files, which libsndfile
/// shortens without a word; none for other formats.
[[nodiscard]] std::optional<SoundDataSize> sound_data_size(const OpenFile& file);

/// Whether a file is CAF.
[[nodiscard]] bool is_core_audio(const OpenFile& file);

/// A FLAC file's last frame, held against what the file's header announces.
struct FlacEnd {
    std::string damage;           ///< where the two contradict each other; empty where they do not
    std::uint64_t samples = 0;    ///< of each channel that are there at least; 0: no frame found
    std::uint64_t announced = 0;  ///< by the header; 0: not known
    std::uint64_t begin = 0;      ///< of what follows the head of its first block
};

/// Frames say by themselves how they were sampled and where in the recording they belong, and bear
/// a checksum; the header bears none (RFC 9639, 8.2, 9.1 and 9.3; memory). None for other files.
/// Looked at are the last 4 MiB, in which the last frame may be cut off or something follow it.
[[nodiscard]] std::optional<FlacEnd> flac_end(const OpenFile& file);

/// A file of MPEG sound, walked through from frame to frame.
struct MpegFrames {
    std::string damage;         ///< what is wrong with it; empty for nothing that can be told
    std::uint64_t count = 0;    ///< of frames with sound
    std::uint64_t samples = 0;  ///< of each channel, in them
    std::uint64_t bytes = 0;    ///< of them
    bool has_checksum = false;  ///< of all frames, which fits
    bool has_length = false;    ///< the first frame says how many follow

    /// What a decoder is to read: frames alone, and no more than the first one announces.
    ShownBytes shown = {};

    /// Samples that a decoder leaves out which announces so many. It takes the length from the
    /// first frame's tag or guesses it from its size, and leaves out some frames at either end.
    [[nodiscard]] std::uint64_t left_out_of(std::uint64_t announced) const;

    /// Samples to be read where a decoder announces so many: its guess never counts for more than
    /// there are.
    [[nodiscard]] std::uint64_t to_be_read_of(std::uint64_t announced) const {
        return has_length ? announced : std::min(announced, samples);
    }
};

/// Whether a file is taken for MPEG sound of layer I, II or III, and what can be told of it before
/// it is decoded. Frames have neither a checksum nor a number of themselves, except for a choice of
/// their encoder: what is told is a frame that does not follow the one before, bytes between
/// frames, layer III that says of itself what cannot be, and where there is one a checksum that
/// does not fit, of a frame's head or, in the first frame, of all frames. Tags at the start
/// and at the end are passed over (their forms: memory).
[[nodiscard]] std::optional<MpegFrames> mpeg_frames(const OpenFile& file);

}  // namespace earbudget::files
