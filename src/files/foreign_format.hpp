#pragma once

#include <optional>
#include <string_view>

namespace earbudget::files {

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
