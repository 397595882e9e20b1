#include <array>
#include <cerrno>
#include <cstdio>
#include <filesystem>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/sendfile.h>
#include <sys/xattr.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"
#include "files/open_file.hpp"
#include "files/output.hpp"

namespace earbudget::files {

namespace {

constexpr const char* access_list = "system.posix_acl_access";

/// False where there is a list and it cannot be kept.
bool keep_access_list(int draft, const std::string& place) {
    std::array<char, 65536> list{};  // the longest that there is
    const ssize_t size = ::lgetxattr(place.c_str(), access_list, list.data(), list.size());
    if (size > 0) {
        return ::fsetxattr(draft, access_list, list.data(), static_cast<std::size_t>(size), 0) == 0;
    }
    // The draft may have one from its folder, which lets others in.
    static_cast<void>(::fremovexattr(draft, access_list));
    return true;
}

bool keep_owner(int draft, const struct stat& earlier) {
    if (::fchown(draft, earlier.st_uid, earlier.st_gid) == 0) return true;
    struct stat now = {};
    return ::fchown(draft, static_cast<uid_t>(-1), earlier.st_gid) == 0 ||
           (::fstat(draft, &now) == 0 && now.st_gid == earlier.st_gid);
}

/// What file systems say that do not know a call.
bool knows_not(int error) {
    return error == EINVAL || error == ENOSYS || error == EOPNOTSUPP || error == EPERM;
}

bool copy_all(int from, int to, off_t size) {
    while (size > 0) {
        const ssize_t copied = ::sendfile(to, from, nullptr, static_cast<std::size_t>(size));
        if (copied < 0) return false;
        if (copied == 0) break;
        size -= copied;
    }
    return ::fsync(to) == 0;
}

/// For file systems that know neither exchanging nor a second name. False leaves no copy.
bool copy_to(const char* name, const std::string& place, const struct stat& earlier) {
    const int to = ::open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (to < 0) return false;
    const int from = ::open(place.c_str(), O_RDONLY | O_NOFOLLOW | O_CLOEXEC);
    const bool is_copied = from >= 0 && copy_all(from, to, earlier.st_size);
    const int error = errno;
    if (is_copied) keep_permissions(to, place, earlier);
    if (from >= 0) ::close(from);
    ::close(to);
    if (!is_copied) ::unlink(name);
    errno = error;
    return is_copied;
}

}  // namespace

void keep_permissions(int draft, const std::string& place, const struct stat& earlier) {
    mode_t mode = earlier.st_mode & 0777U;
    const bool keeps_group = keep_owner(draft, earlier);
    const bool keeps_list = keep_access_list(draft, place);
    if (!keeps_group || !keeps_list) mode &= ~070U | (mode & 07U) << 3U;
    // Some file systems have no permissions to set.
    static_cast<void>(::fchmod(draft, mode));
}

std::string make_beside(const std::string& place, const std::function<bool(const char*)>& make) {
    constexpr unsigned attempts = 1000;
    const auto folder = std::filesystem::path(place).parent_path();
    for (unsigned n = 0; n < attempts; ++n) {
        std::string name = (folder / fmt::format(".earbudget-{}-{}", ::getpid(), n)).string();
        if (make(name.c_str())) return name;
        if (errno != EEXIST) return "";
    }
    return "";
}

std::string replace_and_keep(const std::string& draft, const std::string& place,
                             const struct stat& earlier) {
    std::string kept = draft;  // allocated before anything is moved
    if (::renameat2(AT_FDCWD, draft.c_str(), AT_FDCWD, place.c_str(), RENAME_EXCHANGE) == 0) {
        struct stat now = {};
        if (::lstat(kept.c_str(), &now) == 0 && is_same(now, earlier)) return kept;
        if (::renameat2(AT_FDCWD, draft.c_str(), AT_FDCWD, place.c_str(), RENAME_EXCHANGE) != 0)
            fail_to_write(place);
        throw InputError({place}, "somebody else replaced the file meanwhile; accepted: again");
    }
    if (!knows_not(errno)) refuse_place(place);
    kept =
        make_beside(place, [&place](const char* name) { return ::link(place.c_str(), name) == 0; });
    if (kept.empty() && knows_not(errno)) {
        kept = make_beside(place, [&](const char* name) { return copy_to(name, place, earlier); });
    }
    if (kept.empty()) refuse_place(place);
    if (::rename(draft.c_str(), place.c_str()) == 0) return kept;
    const int error = errno;
    ::unlink(kept.c_str());
    errno = error;
    refuse_place(place);
}

}  // namespace earbudget::files
