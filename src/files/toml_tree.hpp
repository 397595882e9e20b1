#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "earbudget/study/input_error.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::files {

struct TomlValue;
struct TomlEntry;

using TomlArray = std::vector<TomlValue>;

/// A table in the order of its keys.
struct TomlTable {
    std::vector<TomlEntry> entries;
};

/// A date or time: no file of this program holds one, kept to be named in the message.
struct TomlDate {};

/// A value of a TOML 1.0 document and where it stands.
struct TomlValue {
    SourcePosition position;
    std::variant<bool, std::int64_t, double, std::string, TomlDate, TomlArray, TomlTable> content;

    /// "a number", "a string", … as it is named in messages.
    [[nodiscard]] std::string_view kind() const;
};

struct TomlEntry {
    std::string key;
    SourcePosition position;  ///< of the key
    TomlValue value;
};

/// The key of a file whose figures are examples to be replaced.
inline constexpr std::string_view key_of_examples = "examples";

/// Reads a TOML file; `inputs` keeps whether it says that it is an example. `referred_from` is where the file was named, for the message when it cannot
/// be opened, and `kind` of which kind it should be; the file itself otherwise. Throws InputError:
/// not readable, not TOML, too large.
[[nodiscard]] TomlTable read_toml(const std::string& path, TextInputs& inputs,
                                  const SourcePosition* referred_from = nullptr,
                                  std::string_view kind = {});

/// The same from the text of a file that has this path.
[[nodiscard]] TomlTable parse_toml(const std::string& text, const FileName& path);

/// Refuses dotted keys of more parts than any file needs: what parses them calls itself once for
/// each, and a line of millions would exhaust the stack; and more keys and values than a facility's
/// largest file has, which would exhaust the memory. Throws InputError there.
void refuse_deep_keys(const std::string& toml, const std::string& path);

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
