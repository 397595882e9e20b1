#pragma once

#include <cstdint>
#include <string>
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

/// Reads a TOML file. `referred_from` is where the file was named, for the message when it cannot
/// be opened; the file itself otherwise. Throws InputError: not readable, not TOML, too large.
[[nodiscard]] TomlTable read_toml(const std::string& path, TextInputs& inputs,
                                  const SourcePosition* referred_from = nullptr);

/// The same from the text of a file that has this path.
[[nodiscard]] TomlTable parse_toml(const std::string& text, const FileName& path);

/// Refuses dotted keys of more parts than any file needs: what parses them calls itself once for
/// each, and a line of millions would exhaust the stack; and more keys and values than a facility's
/// largest file has, which would exhaust the memory. Throws InputError there.
void refuse_deep_keys(const std::string& toml, const std::string& path);

}  // namespace earbudget::files
