#include "files/open_file.hpp"

#include <algorithm>
#include <cerrno>
#include <system_error>

#include <fcntl.h>
#include <unistd.h>

#include "files/machine_fault.hpp"

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

}  // namespace

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
    return ::stat(path_.c_str(), &now) == 0 && now.st_ino == opened_.st_ino &&
           now.st_dev == opened_.st_dev;
}

}  // namespace earbudget::files
