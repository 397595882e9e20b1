#include "files/open_file.hpp"

#include <algorithm>
#include <cerrno>
#include <system_error>

#include <fcntl.h>
#include <unistd.h>

#include "files/machine_fault.hpp"

namespace earbudget::files {

namespace {

std::string words_of(int error) {
    if (error == ENOENT || error == ENOTDIR) return "no such file";
    return std::generic_category().message(error);
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
        struct stat link = {};
        const bool leads_nowhere = error == ENOENT && ::lstat(path_.c_str(), &link) == 0;
        throw CannotRead(leads_nowhere ? "a symbolic link to nothing" : words_of(error));
    }
    std::string why;
    if (::fstat(descriptor_, &opened_) != 0)
        why = words_of(errno);
    else if (S_ISDIR(opened_.st_mode))
        why = "a folder";
    else if (!S_ISREG(opened_.st_mode))
        why = "not a regular file";
    if (!why.empty()) {
        ::close(descriptor_);
        throw CannotRead(why);
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
        if (more < 0) throw CannotRead(words_of(errno));
        if (more == 0) break;
        got += static_cast<std::size_t>(more);
    }
    return got;
}

bool OpenFile::is_unchanged() const {
    struct stat now = {};
    return ::fstat(descriptor_, &now) == 0 && now.st_size == opened_.st_size &&
           now.st_ino == opened_.st_ino && now.st_dev == opened_.st_dev &&
           are_equal(now.st_mtim, opened_.st_mtim) && are_equal(now.st_ctim, opened_.st_ctim);
}

}  // namespace earbudget::files
