#include "files/sha256.hpp"

#include <array>
#include <fstream>
#include <stdexcept>
#include <vector>

#include <fmt/format.h>
// They are called deprecated since version 3.0, without a replacement that allocates nothing.
#define OPENSSL_SUPPRESS_DEPRECATED
#include <openssl/sha.h>

namespace earbudget::files {

namespace {

void require(int succeeded) {
    if (succeeded != 1) throw std::runtime_error("SHA-256 could not be computed");
}

/// By the functions of libcrypto that allocate nothing: what comes in their place loads a provider
/// by some 5000 allocations, and does not bear every failure of one.
class Digest {
  public:
    Digest() { require(SHA256_Init(&state_)); }
    void add(const char* bytes, std::size_t size) { require(SHA256_Update(&state_, bytes, size)); }
    [[nodiscard]] std::string hexadecimal() {
        std::array<unsigned char, SHA256_DIGEST_LENGTH> digest{};
        require(SHA256_Final(digest.data(), &state_));
        std::string text;
        for (const unsigned char byte : digest)
            text += fmt::format("{:02x}", byte);
        return text;
    }

  private:
    SHA256_CTX state_ = {};
};

}  // namespace

std::string sha256_of(const OpenFile& file) {
    constexpr std::size_t block_size = 1U << 16U;
    Digest digest;
    std::vector<char> block(block_size);
    std::uint64_t at = 0;
    while (const std::size_t got = file.read_at(at, block)) {
        digest.add(block.data(), got);
        at += got;
    }
    return digest.hexadecimal();
}

std::string sha256_of_text(std::string_view text) {
    Digest digest;
    digest.add(text.data(), text.size());
    return digest.hexadecimal();
}

}  // namespace earbudget::files
