#pragma once

#include <optional>
#include <string_view>

#include "earbudget/acoustics/duration.hpp"

namespace earbudget::files {

/// What parse_duration accepts, for messages.
inline constexpr std::string_view accepted_durations =
    "a duration in quotes such as \"90 s\", \"8 min\", \"1 h 10 min\" or \"00:08:30\"";

/// Reads "90 s", "1.5 h", "1 h 10 min 5 s" or "hours:minutes:seconds"; none for anything else,
/// also for a negative or a repeated part. Units are h, min, s and ms, in that order.
[[nodiscard]] std::optional<Seconds> parse_duration(std::string_view text);

}  // namespace earbudget::files
