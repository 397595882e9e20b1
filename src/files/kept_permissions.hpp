#pragma once

#include <string>

#include <sys/stat.h>

namespace earbudget::files {

/// Gives an open draft the permissions of the file that it is going to replace, its access control
/// list and, where this user may, its owner and group. Nobody gets to read or write the new file
/// who could not read or write the earlier one; where the group cannot be kept, it gets no more
/// than everybody has.
void keep_permissions(int draft, const std::string& place, const struct stat& earlier);

}  // namespace earbudget::files
