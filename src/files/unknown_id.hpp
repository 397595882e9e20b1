#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "files/table_reader.hpp"

namespace earbudget::files {

/// The error for an id that is not among those known, naming the nearest and all of them. `none`
/// says why where there are none: "the catalogue is empty".
[[nodiscard]] InputError unknown_id(std::string_view what, const Located<std::string>& id,
                                    const std::vector<std::string>& known, std::string_view none);

/// Lists that error, but not where an entry of this sort could not be read: it may be that one.
void list_unknown_id(ErrorList& errors, std::string_view what, const Located<std::string>& id,
                     const std::vector<std::string>& known, std::string_view none);

}  // namespace earbudget::files
