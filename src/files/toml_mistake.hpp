#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "earbudget/study/input_error.hpp"

namespace earbudget::files {

/// A text that is no TOML, in words for who wrote it: the commonest mistakes by their names.
/// `found_at` is where the parser stopped and `description` what it says, of which only the part is
/// used that tells what it was reading.
[[nodiscard]] InputError toml_mistake(std::string_view text, const SourcePosition& found_at,
                                      std::string_view description);

/// What is wrong with a value as it stands behind "=", and what is accepted; `value` is without the
/// blanks around it and without a comment.
[[nodiscard]] std::string toml_value_mistake(std::string_view value);

/// A text of the user's as messages quote it, shortened where it is long.
[[nodiscard]] std::string excerpt(std::string_view text);

/// What was given in the place of a TOML file, and what is to be done about it.
struct ForeignFormat {
    std::string_view what;
    std::string_view accepted;
};

/// `what` of sound files.
inline constexpr std::string_view name_of_recordings = "a recording";

/// By the first bytes of a file: recordings, documents, text in another encoding; none for what may
/// be TOML.
[[nodiscard]] std::optional<ForeignFormat> foreign_format_of(std::string_view bytes);

/// By a text that could not be read as TOML: JSON, XML, YAML, a table of columns; none for what was
/// meant as TOML.
[[nodiscard]] std::optional<ForeignFormat> foreign_text_format_of(std::string_view text);

}  // namespace earbudget::files
