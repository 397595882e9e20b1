#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

// Called deprecated since version 3.0 of libcrypto, as what sha256.cpp takes, and for its reason.
#ifndef OPENSSL_SUPPRESS_DEPRECATED
#define OPENSSL_SUPPRESS_DEPRECATED
#endif
#include <openssl/md5.h>

#include "files/open_file.hpp"

namespace earbudget::files {

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
