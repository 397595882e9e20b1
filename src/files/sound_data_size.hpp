#pragma once

#include <cstdint>
#include <optional>

#include "files/open_file.hpp"

namespace earbudget::files {

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

}  // namespace earbudget::files
