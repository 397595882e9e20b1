#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "earbudget/acoustics/duration.hpp"

namespace earbudget {

/// Whether any of some words, in small letters, stands in free text as a word of its own.
[[nodiscard]] bool has_word(std::string_view text, std::span<const std::string_view> words);

/// Whether free text may say that something is not so: "no", "not", "none", "without", "unknown".
[[nodiscard]] bool may_negate(std::string_view text);

/// The last time stated in free text, "…, 10 s" or "1 min 20 s", but for one that says from when;
/// none without one.
[[nodiscard]] std::optional<Seconds> time_in(std::string_view text);

/// Whether free text holds a year from 1900 to 2099.
[[nodiscard]] bool has_year(std::string_view text);

}  // namespace earbudget
