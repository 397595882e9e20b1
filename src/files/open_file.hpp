#pragma once

#include <cstdint>
#include <span>
#include <stdexcept>
#include <string>

#include <sys/stat.h>

namespace earbudget::files {

/// Why a file cannot be read, in words that follow its name.
class CannotRead : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

/// A regular file opened once for reading: whatever is made of it comes through one descriptor, so
/// that another file put in its place meanwhile is never seen.
class OpenFile {
  public:
    /// Throws CannotRead for what is missing, no regular file or may not be read.
    explicit OpenFile(std::string path);
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    ~OpenFile();

    [[nodiscard]] const std::string& path() const { return path_; }

    /// Bytes when it was opened; what is added later is never read.
    [[nodiscard]] std::uint64_t size() const { return size_; }

    /// Fills `bytes` from a position on and returns how many there were: fewer at the end. Throws
    /// CannotRead. Several threads may read at once.
    [[nodiscard]] std::size_t read_at(std::uint64_t position, std::span<char> bytes) const;

    /// False once its size, one of its times or its name is another than when it was opened.
    /// Writing within one tick of the system's clock, some milliseconds, before it was opened and
    /// after may leave the times alike.
    [[nodiscard]] bool is_unchanged() const;

  private:
    std::string path_;
    int descriptor_;
    struct stat opened_ = {};
    std::uint64_t size_ = 0;
};

}  // namespace earbudget::files
