#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>

#include "files/open_file.hpp"
#include "files/sound_bytes.hpp"

namespace earbudget::files {

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
