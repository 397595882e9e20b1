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
    enum class Why { Missing, Folder, NoRegularFile, Failed };

    /// `error` is that of the system (errno); 0: none.
    CannotRead(Why why, const std::string& words, int error = 0)
        : std::runtime_error(words), why_(why), error_(error) {}

    [[nodiscard]] Why why() const { return why_; }
    [[nodiscard]] int error() const { return error_; }

  private:
    Why why_;
    int error_;
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

    /// False once its size or the time of its last writing is another than when it was opened; who
    /// may read it, and other names for it, do not matter. Writing within one tick of the system's
    /// clock, some milliseconds, before it was opened and after may leave the times alike, and so
    /// does whoever sets the time back.
    [[nodiscard]] bool is_unchanged() const;

    /// False once its name leads nowhere or to another file.
    [[nodiscard]] bool is_in_its_place() const;

  private:
    std::string path_;
    int descriptor_;
    struct stat opened_ = {};
    std::uint64_t size_ = 0;
};

}  // namespace earbudget::files
