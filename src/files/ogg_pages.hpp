#pragma once

#include <optional>
#include <string>

#include "files/open_file.hpp"

namespace earbudget::files {

/// What is damaged about an Ogg file, which says of itself where its pages end and bears a checksum
/// of each (RFC 3533, 6; memory): bytes between pages, a page that is not as it was written, one
/// that is missing, no end. None for a whole one, and for a file that is no Ogg file.
[[nodiscard]] std::optional<std::string> damage_of_ogg(const OpenFile& file);

}  // namespace earbudget::files
