#include "files/sha256.hpp"

#include <array>
#include <fstream>
#include <memory>
#include <stdexcept>
#include <vector>

#include <fmt/format.h>
#include <openssl/evp.h>

namespace earbudget::files {

namespace {

struct FreeContext {
    void operator()(EVP_MD_CTX* context) const { EVP_MD_CTX_free(context); }
};

void require(bool succeeded) {
    if (!succeeded) throw std::runtime_error("SHA-256 could not be computed");
}

class Digest {
  public:
    Digest() : context_(EVP_MD_CTX_new()) {
        require(context_ && EVP_DigestInit_ex(context_.get(), EVP_sha256(), nullptr) == 1);
    }
    void add(const char* bytes, std::size_t size) {
        require(EVP_DigestUpdate(context_.get(), bytes, size) == 1);
    }
    [[nodiscard]] std::string hexadecimal() const {
        std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
        unsigned int length = 0;
        require(EVP_DigestFinal_ex(context_.get(), digest.data(), &length) == 1);
        std::string text;
        for (unsigned int i = 0; i < length; ++i)
            text += fmt::format("{:02x}", digest[i]);
        return text;
    }

  private:
    std::unique_ptr<EVP_MD_CTX, FreeContext> context_;
};

}  // namespace

std::string sha256_of_file(const std::string& path) {
    constexpr std::size_t block_size = 1U << 16U;
    std::ifstream file(path, std::ios::binary);
    if (!file) throw std::runtime_error(fmt::format("cannot read \"{}\"", path));
    Digest digest;
    std::vector<char> block(block_size);
    while (file) {
        file.read(block.data(), static_cast<std::streamsize>(block.size()));
        digest.add(block.data(), static_cast<std::size_t>(file.gcount()));
    }
    if (file.bad()) throw std::runtime_error(fmt::format("reading \"{}\" failed", path));
    return digest.hexadecimal();
}

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
