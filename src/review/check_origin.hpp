#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace earbudget {

/// The words of free text, in small letters; a full stop stays between digits only.
[[nodiscard]] std::vector<std::string> words_of(std::string_view text);

/// Whether any of some words, in small letters, stands in free text as a word of its own.
[[nodiscard]] bool has_word(std::string_view text, std::span<const std::string_view> words);

/// Whether free text may say that something is not so: "no", "not", "none", "without", "unknown".
[[nodiscard]] bool may_negate(std::string_view text);

/// Whether free text holds a year from 1900 to 2099.
[[nodiscard]] bool has_year(std::string_view text);

}  // namespace earbudget
