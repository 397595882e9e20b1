#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "files/open_file.hpp"

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

}  // namespace earbudget::files
