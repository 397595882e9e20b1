#pragma once

#include <cstdint>
#include <map>
#include <string>

#include "register/connection.hpp"

namespace earbudget::registers {

/// The number of the person who has a code; a new person's where it is not known. Throws InputError
/// for a code that cannot be one, and for one that differs from a known one in capital letters.
[[nodiscard]] std::int64_t person_for(Connection& connection, const std::string& code);

/// Who is one person by the links that stand: to each number the least of those that belong to it.
[[nodiscard]] std::map<std::int64_t, std::int64_t> groups_by_links(Connection& connection);

}  // namespace earbudget::registers
