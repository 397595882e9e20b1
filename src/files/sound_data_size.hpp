#pragma once

#include <cstdint>
#include <optional>

#include "files/open_file.hpp"

namespace earbudget::files {

/// Where a sound file's samples begin, and how many bytes of them there are.
struct SoundDataSize {
    std::uint64_t begin = 0;
    std::uint64_t announced = 0;  ///< by the header
    std::uint64_t present = 0;    ///< from `begin` to the end of the file, at most

    /// False where the header was written before the length was known, as by a recorder that
    /// streams: it then announces 0, or the largest number that fits.
    bool known = true;

    /// Bytes behind the announced samples that are neither whole chunks of something else, padded
    /// or not, nor zeros to the end: samples, by all that can be told. More chunks of samples, of
    /// which the first alone is read, count as well.
    std::uint64_t beyond = 0;

    /// False where the size that the header gives is smaller than what it includes: then nothing
    /// else is known.
    bool possible = true;

    [[nodiscard]] bool truncated() const { return known && present < announced; }
};

/// The sizes for WAV (also RIFX, RF64, BW64), Wave64, AIFF, CAF and AU files, which libsndfile
/// shortens without a word; none for other formats.
[[nodiscard]] std::optional<SoundDataSize> sound_data_size(const OpenFile& file);

/// Whether a file is CAF.
[[nodiscard]] bool is_core_audio(const OpenFile& file);

}  // namespace earbudget::files
