#pragma once

#include <cerrno>
#include <cstdint>
#include <exception>
#include <memory>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <thread>

#include <sys/stat.h>

namespace earbudget::files {

/// Whether an error of the system (errno) is a fault of the machine, not of the place or the file
/// that was named: no room, no memory, no file to be opened any more, a disk that fails.
[[nodiscard]] inline bool is_machine_fault(int error) {
    return error == ENOSPC || error == EDQUOT || error == EMFILE || error == ENFILE ||
           error == ENOMEM || error == EIO || error == EFBIG;
}

/// The folder that a file lies in.
[[nodiscard]] std::string folder_of(const std::string& file);

/// Whether two are one file.
[[nodiscard]] inline bool is_same(const struct stat& one, const struct stat& other) {
    return one.st_dev == other.st_dev && one.st_ino == other.st_ino;
}

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

/// SHA-256 of an open file's bytes (FIPS 180-4), 64 hexadecimal digits, as long as it was when it
/// was opened. Throws CannotRead. Empty where it was to stop before its end.
[[nodiscard]] std::string sha256_of(const OpenFile& file, const std::stop_token& stop = {});

/// The same, worked out by a thread of its own from the beginning on.
class Sha256Meanwhile {
  public:
    explicit Sha256Meanwhile(std::shared_ptr<const OpenFile> file);

    /// Waits for it; throws CannotRead.
    [[nodiscard]] std::string sum();

  private:
    std::shared_ptr<const OpenFile> file_;
    std::string sum_;
    std::exception_ptr failure_;
    std::jthread thread_;  // last: it uses the others. None where the machine has none to give
};

/// SHA-256 of a text's bytes (FIPS 180-4), 64 hexadecimal digits.
[[nodiscard]] std::string sha256_of_text(std::string_view text);

}  // namespace earbudget::files
