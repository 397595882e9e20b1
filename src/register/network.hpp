#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace earbudget::registers {

/// What a file system is called, by the number that Linux tells it by (statfs(2), f_type), where
/// locks between machines are none, or nobody can tell whether they are. None for all others.
[[nodiscard]] std::optional<std::string_view> network_file_system(std::uint64_t type);

}  // namespace earbudget::registers
