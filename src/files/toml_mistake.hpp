#pragma once

#include <string>
#include <string_view>

#include "earbudget/study/input_error.hpp"

namespace earbudget::files {

/// A text that is no TOML, in words for who wrote it: the commonest mistakes by their names.
/// `found_at` is where the parser stopped and `description` what it says, of which only the part is
/// used that tells what it was reading.
[[nodiscard]] InputError toml_mistake(std::string_view text, const SourcePosition& found_at,
                                      std::string_view description);

}  // namespace earbudget::files
