#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "files/table_reader.hpp"

namespace earbudget::files {

/// What ids may be, for messages.
inline constexpr std::string_view accepted_ids =
    "any text of at most 100 characters, without blanks at its ends and characters that cannot be "
    "seen";

/// Why a text cannot be an id: ", with a blank at an end"; none where it can. Ids are names that
/// people compare by eye, so that they hold nothing that is not seen: no control characters, none
/// that turn the direction of writing and none of no width.
[[nodiscard]] std::optional<std::string> why_no_id(std::string_view id);

/// Reads an id; what cannot be one is a mistake. Throws AlreadyListed where there is none.
[[nodiscard]] Located<std::string> require_id(TableReader& table);

}  // namespace earbudget::files
