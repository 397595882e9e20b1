#pragma once

#include <string>
#include <string_view>

#include "earbudget/protection/protector.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// The sizes, for messages.
inline constexpr std::string_view accepted_canal_sizes = "\"small\", \"medium\", \"large\"";

/// The size with this name. Throws InputError for any other.
[[nodiscard]] CanalSize canal_size_named(const Located<std::string>& name);

}  // namespace earbudget::files
