#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "files/open_file.hpp"
#include "files/sound_decoder.hpp"

namespace earbudget::files {

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
    /// Where in the file another one begins, which decoders pass over.
    std::optional<std::uint64_t> another_begins = std::nullopt;
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
