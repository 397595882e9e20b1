#include "files/draft_file.hpp"

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <system_error>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"

namespace earbudget::files {

namespace {

constexpr mode_t readable_and_writable = 0666;

[[noreturn]] void fail(const std::string& place) {
    throw std::system_error(errno, std::generic_category(),
                            fmt::format("cannot write \"{}\"", place));
}

/// A fault of the machine, not of the place that was named.
bool is_fault(int error) {
    return error == ENOSPC || error == EDQUOT || error == EMFILE || error == ENFILE ||
           error == ENOMEM || error == EIO;
}

[[noreturn]] void refuse_or_fail(const std::string& place) {
    if (is_fault(errno)) fail(place);
    // Some file systems can only replace.
    const bool can_only_replace = errno == EPERM || errno == EOPNOTSUPP || errno == ENOSYS;
    throw InputError({place}, fmt::format("cannot write here: {}; accepted: a place that can be "
                                          "written to{}",
                                          std::generic_category().message(errno),
                                          can_only_replace ? ", or --force" : ""));
}

thread_local unsigned reasons_to_wait = 0;
thread_local sigset_t before_waiting = {};

/// A short name of its own beside a place, hidden: the place's own may be as long as names can be.
std::string beside(const std::string& place, std::string_view name) {
    return (std::filesystem::path(place).parent_path() / name).string();
}

void write_all(int file, std::string_view content, const std::string& place) {
    while (!content.empty()) {
        const ssize_t written = ::write(file, content.data(), content.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) fail(place);
        content.remove_prefix(static_cast<std::size_t>(written));
    }
}

}  // namespace

InterruptsWait::InterruptsWait() {
    if (reasons_to_wait++ > 0) return;
    sigset_t interrupts;
    sigemptyset(&interrupts);
    for (const int interrupt : {SIGINT, SIGTERM, SIGHUP, SIGQUIT})
        sigaddset(&interrupts, interrupt);
    ::pthread_sigmask(SIG_BLOCK, &interrupts, &before_waiting);
}

InterruptsWait::~InterruptsWait() {
    if (--reasons_to_wait == 0) ::pthread_sigmask(SIG_SETMASK, &before_waiting, nullptr);
}

DraftFile::DraftFile(std::string place, std::string_view content) : place_(std::move(place)) {
    if (!open_nameless()) open_named();
    try {
        write_all(file_, content, place_);
        if (::fsync(file_) != 0) fail(place_);
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
    const auto parent = std::filesystem::path(place_).parent_path();
    const std::string folder = parent.empty() ? "." : parent.string();
    file_ = ::open(folder.c_str(), O_TMPFILE | O_WRONLY | O_CLOEXEC, readable_and_writable);
    if (file_ < 0) {
        // File systems and kernels that know no nameless files say so in these ways.
        if (errno != EOPNOTSUPP && errno != EISDIR && errno != ENOENT && errno != EINVAL) {
            refuse_or_fail(place_);
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
    std::string name = beside(place_, ".earbudget-XXXXXX");
    file_ = ::mkostemp(name.data(), O_CLOEXEC);
    if (file_ < 0) refuse_or_fail(place_);
    name_ = name;
    const mode_t mask = ::umask(0);
    ::umask(mask);
    // Some file systems have no permissions to set.
    static_cast<void>(::fchmod(file_, readable_and_writable & ~mask));
}

std::string DraftFile::path_of_nameless() const { return fmt::format("/proc/self/fd/{}", file_); }

/// Gives the nameless draft a name beside its place that nobody has.
std::string DraftFile::free_name() {
    constexpr unsigned attempts = 1000;
    for (unsigned n = 0; n < attempts; ++n) {
        const std::string name = beside(place_, fmt::format(".earbudget-{}-{}", ::getpid(), n));
        if (::linkat(AT_FDCWD, path_of_nameless().c_str(), AT_FDCWD, name.c_str(),
                     AT_SYMLINK_FOLLOW) == 0) {
            return name;
        }
        if (errno != EEXIST) refuse_or_fail(place_);
    }
    fail(place_);
}

void DraftFile::refuse_existing() const {
    throw InputError({place_}, "the file exists; accepted: another name, or --force to replace it");
}

void DraftFile::move_to_place(bool force) {
    if (!waiting_) waiting_.emplace();
    if (force) {
        if (!name_) name_ = free_name();
        if (::rename(name_->c_str(), place_.c_str()) != 0) refuse_or_fail(place_);
        name_.reset();
        return;
    }
    if (!name_) {
        if (::linkat(AT_FDCWD, path_of_nameless().c_str(), AT_FDCWD, place_.c_str(),
                     AT_SYMLINK_FOLLOW) == 0) {
            return;
        }
    } else {
        // Not every file system knows the first; the second leaves the draft's own name, which the
        // destructor takes away.
        if (::renameat2(AT_FDCWD, name_->c_str(), AT_FDCWD, place_.c_str(), RENAME_NOREPLACE) ==
            0) {
            name_.reset();
            return;
        }
        const bool unknown = errno == EINVAL || errno == ENOSYS || errno == EOPNOTSUPP;
        if (unknown && ::link(name_->c_str(), place_.c_str()) == 0) return;
    }
    if (errno == EEXIST) refuse_existing();
    refuse_or_fail(place_);
}

}  // namespace earbudget::files
