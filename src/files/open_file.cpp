#include "files/open_file.hpp"

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <stdexcept>
#include <system_error>
#include <vector>

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

// What it names in its place allocates: some 5000 times to load a provider, and does not bear
// every failure of one.
#ifndef OPENSSL_SUPPRESS_DEPRECATED
#define OPENSSL_SUPPRESS_DEPRECATED
#endif
#include <openssl/sha.h>

#include "files/sha256.hpp"

namespace earbudget::files {

namespace {

using Why = CannotRead::Why;

CannotRead failure_of(int error) {
    if (error == ENOENT || error == ENOTDIR) return {Why::Missing, "no such file", error};
    return {Why::Failed, std::generic_category().message(error), error};
}

void require_regular(const struct stat& state) {
    if (S_ISDIR(state.st_mode)) throw CannotRead(Why::Folder, "a folder");
    if (!S_ISREG(state.st_mode)) throw CannotRead(Why::NoRegularFile, "not a regular file");
}

bool are_equal(const timespec& a, const timespec& b) {
    return a.tv_sec == b.tv_sec && a.tv_nsec == b.tv_nsec;
}

void require_SHA256(int succeeded) {
    if (succeeded != 1) throw std::runtime_error("SHA-256 could not be computed");
}

/// By the functions of libcrypto that allocate nothing: what comes in their place loads a provider
/// by some 5000 allocations, and does not bear every failure of one.
class Digest {
  public:
    Digest() { require_SHA256(SHA256_Init(&state_)); }
    void add(const char* bytes, std::size_t size) {
        require_SHA256(SHA256_Update(&state_, bytes, size));
    }
    [[nodiscard]] Sha256 bytes() {
        static_assert(Sha256{}.size() == SHA256_DIGEST_LENGTH);
        Sha256 digest{};
        require_SHA256(SHA256_Final(digest.data(), &state_));
        return digest;
    }
    [[nodiscard]] std::string hexadecimal() {
        std::string text;
        for (const unsigned char byte : bytes())
            text += fmt::format("{:02x}", byte);
        return text;
    }

  private:
    SHA256_CTX state_ = {};
};

}  // namespace

std::string folder_of(const std::string& file) {
    const auto parent = std::filesystem::path(file).parent_path();
    return parent.empty() ? "." : parent.string();
}

OpenFile::OpenFile(std::string path)
    : path_(std::move(path)),
      // Neither waits for the other end of a pipe nor takes a terminal.
      descriptor_(::open(path_.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY)) {
    if (descriptor_ < 0) {
        const int error = errno;
        if (is_machine_fault(error)) throw std::system_error(error, std::generic_category(), path_);
        // What cannot be opened may still be known to be something else.
        if (::stat(path_.c_str(), &opened_) == 0) require_regular(opened_);
        const bool is_link = ::lstat(path_.c_str(), &opened_) == 0 && S_ISLNK(opened_.st_mode);
        if (error == ENOENT && is_link)
            throw CannotRead(Why::Failed, "a symbolic link to nothing", error);
        throw failure_of(error);
    }
    try {
        if (::fstat(descriptor_, &opened_) != 0) throw failure_of(errno);
        require_regular(opened_);
    } catch (...) {
        ::close(descriptor_);
        throw;
    }
    size_ = static_cast<std::uint64_t>(opened_.st_size);
}

OpenFile::~OpenFile() { ::close(descriptor_); }

std::size_t OpenFile::read_at(std::uint64_t position, std::span<char> bytes) const {
    if (position >= size_) return 0;
    const auto wanted =
        static_cast<std::size_t>(std::min<std::uint64_t>(bytes.size(), size_ - position));
    std::size_t got = 0;
    while (got < wanted) {
        const ssize_t more = ::pread(descriptor_, bytes.data() + got, wanted - got,
                                     static_cast<off_t>(position + got));
        if (more < 0 && errno == EINTR) continue;
        if (more < 0) throw failure_of(errno);
        if (more == 0) break;
        got += static_cast<std::size_t>(more);
    }
    return got;
}

bool OpenFile::is_unchanged() const {
    struct stat now = {};
    return ::fstat(descriptor_, &now) == 0 && now.st_size == opened_.st_size &&
           are_equal(now.st_mtim, opened_.st_mtim);
}

bool OpenFile::is_in_its_place() const {
    struct stat now = {};
    return ::stat(path_.c_str(), &now) == 0 && is_same(now, opened_);
}

std::string sha256_of(const OpenFile& file, const std::stop_token& stop) {
    constexpr std::size_t block_size = 1U << 16U;
    Digest digest;
    std::vector<char> block(block_size);
    std::uint64_t at = 0;
    while (const std::size_t got = file.read_at(at, block)) {
        if (stop.stop_requested()) return {};
        digest.add(block.data(), got);
        at += got;
    }
    return digest.hexadecimal();
}

Sha256Meanwhile::Sha256Meanwhile(std::shared_ptr<const OpenFile> file) : file_(std::move(file)) {
    const auto work = [this](const std::stop_token& stop) {
        try {
            sum_ = sha256_of(*file_, stop);
        } catch (...) {
            failure_ = std::current_exception();
        }
    };
    try {
        thread_ = std::jthread(work);
    } catch (...) {
        // No thread, or no memory for one: whoever asks works it out.
    }
}

std::string Sha256Meanwhile::sum() {
    if (!thread_.joinable()) return sha256_of(*file_);
    thread_.join();
    if (failure_) std::rethrow_exception(failure_);
    return std::move(sum_);
}

Sha256 sha256_bytes(std::string_view text) {
    Digest digest;
    digest.add(text.data(), text.size());
    return digest.bytes();
}

std::string sha256_of_text(std::string_view text) {
    Digest digest;
    digest.add(text.data(), text.size());
    return digest.hexadecimal();
}

}  // namespace earbudget::files
