#include "register/new_file.hpp"

#include <cerrno>
#include <cstdio>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"
#include "files/open_file.hpp"
#include "register/connection.hpp"

namespace earbudget::registers {

namespace {

void store(const std::string& path, int flags, const std::string& place) {
    const int file = ::open(path.c_str(), flags | O_CLOEXEC);
    const bool is_stored = file >= 0 && ::fsync(file) == 0;
    const int error = errno;
    if (file >= 0) ::close(file);
    errno = error;
    // Some file systems store no folders.
    if (!is_stored && !(flags & O_DIRECTORY)) files::fail_to_write(place);
}

void refuse_standing(const std::string& place) {
    struct stat standing = {};
    if (::lstat(place.c_str(), &standing) != 0) return;
    throw InputError({place}, "something of this name exists; accepted: the name of a new file");
}

}  // namespace

NewFile::NewFile(std::string place, mode_t permissions) : place_(std::move(place)) {
    refuse_standing(place_);
    files::check_can_write(place_, false);
    refuse_network(place_, files::folder_of(place_));
    path_ = files::make_beside(place_, [permissions](const char* name) {
        const int file = ::open(name, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, permissions);
        if (file < 0) return false;
        static_cast<void>(::fchmod(file, permissions));
        return ::close(file) == 0;
    });
    if (path_.empty()) files::refuse_place(place_);
    try {
        beside_ = {path_ + "-wal", path_ + "-shm", path_ + "-journal"};
    } catch (...) {
        // A constructor that throws has no destructor.
        ::unlink(path_.c_str());
        throw;
    }
}

NewFile::~NewFile() {
    if (is_kept_) return;
    ::unlink(path_.c_str());
    for (const std::string& name : beside_)
        ::unlink(name.c_str());
}

void NewFile::move_to_place() {
    store(path_, O_RDWR, place_);
    bool moved =
        ::renameat2(AT_FDCWD, path_.c_str(), AT_FDCWD, place_.c_str(), RENAME_NOREPLACE) == 0;
    // Not every file system knows that; the second way leaves the draft's own name.
    if (!moved && (errno == EINVAL || errno == ENOSYS || errno == EOPNOTSUPP)) {
        moved = ::link(path_.c_str(), place_.c_str()) == 0;
        if (moved) ::unlink(path_.c_str());
    }
    if (!moved && errno == EEXIST) refuse_standing(place_);
    if (!moved) files::refuse_place(place_);
    path_ = place_;
    store(files::folder_of(place_), O_RDONLY | O_DIRECTORY, place_);
}

}  // namespace earbudget::registers
