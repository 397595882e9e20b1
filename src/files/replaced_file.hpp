#pragma once

#include <functional>
#include <string>

#include <sys/stat.h>

namespace earbudget::files {

/// Gives an open draft the permissions of the file that it is going to replace, its access control
/// list and, where this user may, its owner and group. Nobody gets to read or write the new file
/// who could not read or write the earlier one; where the group cannot be kept, it gets no more
/// than everybody has.
void keep_permissions(int draft, const std::string& place, const struct stat& earlier);

/// Makes something under a hidden name beside a place that nobody has, short, since the place's own
/// may be as long as names can be. `make` gets a name and says whether that was free, else errno
/// does. Empty, with errno, where nothing could be made.
[[nodiscard]] std::string make_beside(const std::string& place,
                                      const std::function<bool(const char*)>& make);

/// Puts the file `draft` into a place where `earlier` stands, in one step: whoever opens the place
/// finds one or the other. Returns the name beside it under which the earlier file is kept.
/// Throws InputError where something else came there meanwhile, or the system refuses it; nothing
/// is changed then.
[[nodiscard]] std::string replace_and_keep(const std::string& draft, const std::string& place,
                                           const struct stat& earlier);

}  // namespace earbudget::files
