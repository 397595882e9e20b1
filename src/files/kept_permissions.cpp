#include "files/kept_permissions.hpp"

#include <array>

#include <sys/xattr.h>
#include <unistd.h>

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

}  // namespace

void keep_permissions(int draft, const std::string& place, const struct stat& earlier) {
    mode_t mode = earlier.st_mode & 0777U;
    const bool keeps_group = keep_owner(draft, earlier);
    const bool keeps_list = keep_access_list(draft, place);
    if (!keeps_group || !keeps_list) mode &= ~070U | (mode & 07U) << 3U;
    // Some file systems have no permissions to set.
    static_cast<void>(::fchmod(draft, mode));
}

}  // namespace earbudget::files
