#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "register/entry.hpp"

namespace earbudget::registers {

/// How the body of an entry that tells of a backup begins, by which it is found in a file that
/// nothing else can be read of. Bodies of others never hold this: their quotation marks are escaped
/// wherever they are text, and what has this key is refused.
inline constexpr std::string_view backup_body_begin = "{\"backup\":{\"file\":\"";

[[nodiscard]] std::string backup_body(const std::string& file, const Head& head);

/// File and head; none for anything else.
[[nodiscard]] std::optional<BackupRecord> read_backup_body(std::string_view body);

}  // namespace earbudget::registers
