
#include <cerrno>
#include <cstdio>
#include <filesystem>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"
#include "files/open_file.hpp"
#include "files/output.hpp"

namespace earbudget::files {

namespace {

constexpr mode_t readable_and_writable = 0666;

void write_all(int file, std::string_view content, const std::string& place) {
    while (!content.empty()) {
        const ssize_t written = ::write(file, content.data(), content.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) fail_to_write(place);
        content.remove_prefix(static_cast<std::size_t>(written));
    }
}

/// As if it had been made with them.
void give_usual_permissions(int file) {
    const mode_t mask = ::umask(0);
    ::umask(mask);
    // Some file systems have no permissions to set.
    static_cast<void>(::fchmod(file, readable_and_writable & ~mask));
}

}  // namespace

DraftFile::DraftFile(std::string place, std::string_view content) : place_(std::move(place)) {
    if (!open_nameless()) open_named();
    try {
        write_all(file_, content, place_);
        if (::fsync(file_) != 0) fail_to_write(place_);
    } catch (...) {
        // A constructor that throws has no destructor.
        ::close(file_);
        if (name_) ::unlink(name_->c_str());
        throw;
    }
}

DraftFile::~DraftFile() {
    ::close(file_);
    if (name_) ::unlink(name_->c_str());
}

bool DraftFile::open_nameless() {
    file_ =
        ::open(folder_of(place_).c_str(), O_TMPFILE | O_WRONLY | O_CLOEXEC, readable_and_writable);
    if (file_ < 0) {
        // File systems and kernels that know no nameless files say so in these ways.
        if (errno != EOPNOTSUPP && errno != EISDIR && errno != ENOENT && errno != EINVAL) {
            refuse_place(place_);
        }
        return false;
    }
    // Without /proc it could never be named.
    if (::access(path_of_nameless().c_str(), F_OK) == 0) return true;
    ::close(file_);
    return false;
}

void DraftFile::open_named() {
    waiting_.emplace();
    std::string name = (std::filesystem::path(place_).parent_path() / ".earbudget-XXXXXX").string();
    file_ = ::mkostemp(name.data(), O_CLOEXEC);
    if (file_ < 0) refuse_place(place_);
    name_ = std::move(name);
}

std::string DraftFile::path_of_nameless() const { return fmt::format("/proc/self/fd/{}", file_); }

void DraftFile::refuse_existing() const {
    throw InputError({place_}, "the file exists; accepted: another name, or --force to replace it");
}

bool DraftFile::stands_at(const std::string& place) const {
    struct stat there = {};
    struct stat own = {};
    return ::lstat(place.c_str(), &there) == 0 && ::fstat(file_, &own) == 0 && is_same(there, own);
}

void DraftFile::move_to_place(bool force, bool keeps_earlier) {
    earlier_.reserve(place_.size() + 64);  // nothing is allocated once it is moved
    if (!waiting_) waiting_.emplace();
    if (force && ::access(place_.c_str(), F_OK) == 0) {
        replace(keeps_earlier);
    } else if (appear()) {
        stands_ = Stands::WhereNothingStood;
    } else if (errno == EEXIST && !force) {
        refuse_existing();
    } else if (errno == EEXIST) {
        replace(keeps_earlier);
    } else {
        // Some file systems can only replace.
        const bool can_only_replace = errno == EPERM || errno == EOPNOTSUPP || errno == ENOSYS;
        refuse_place(place_, can_only_replace && !force ? ", or --force" : "");
    }
}

bool DraftFile::appear() {
    if (!name_) {
        return ::linkat(AT_FDCWD, path_of_nameless().c_str(), AT_FDCWD, place_.c_str(),
                        AT_SYMLINK_FOLLOW) == 0;
    }
    give_usual_permissions(file_);
    // Not every file system knows the first; the second leaves the draft's own name, which the
    // destructor takes away.
    if (::renameat2(AT_FDCWD, name_->c_str(), AT_FDCWD, place_.c_str(), RENAME_NOREPLACE) == 0) {
        name_.reset();
        return true;
    }
    const bool unknown = errno == EINVAL || errno == ENOSYS || errno == EOPNOTSUPP;
    return unknown && ::link(name_->c_str(), place_.c_str()) == 0;
}

void DraftFile::replace(bool keeps_earlier) {
    check_can_write(place_, true);
    struct stat earlier = {};
    if (::lstat(place_.c_str(), &earlier) != 0) refuse_place(place_);
    keep_permissions(file_, place_, earlier);
    if (!name_) {
        const std::string nameless = path_of_nameless();
        std::string name = make_beside(place_, [&nameless](const char* free) {
            return ::linkat(AT_FDCWD, nameless.c_str(), AT_FDCWD, free, AT_SYMLINK_FOLLOW) == 0;
        });
        if (name.empty()) refuse_place(place_);
        name_ = std::move(name);
    }
    if (keeps_earlier) {
        name_ = replace_and_keep(*name_, place_, earlier);
    } else {
        if (::rename(name_->c_str(), place_.c_str()) != 0) refuse_place(place_);
        name_.reset();
    }
    stands_ = Stands::ForAnother;
}

bool DraftFile::put_back() {
    const Stands stood = stands_;
    stands_ = Stands::Nowhere;
    if (stood == Stands::WhereNothingStood) {
        return !stands_at(place_) || ::unlink(place_.c_str()) == 0;
    }
    if (stood != Stands::ForAnother || !name_) return true;
    const bool is_back = ::rename(name_->c_str(), place_.c_str()) == 0;
    if (!is_back) earlier_ = *name_;
    name_.reset();
    return is_back;
}

}  // namespace earbudget::files
