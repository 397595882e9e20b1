#pragma once

#include <cstdint>
#include <string>

namespace earbudget::benchmark {

/// What a recording is like; always 48 kHz, 24 bits, WAV.
struct Recording {
    int seconds = 600;
    int channels = 1;
    std::uint32_t seed = 1;  ///< same seed, same file
};

/// Size of the file, in bytes, but for its header.
[[nodiscard]] std::uintmax_t size_of(const Recording& recording);

/// Writes pink-like noise with ten pulses a second, block by block, and leaves it in the page
/// cache. Throws when the disk does not take it.
void write(const std::string& path, const Recording& recording);

}  // namespace earbudget::benchmark
