#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/duration.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::files {

/// A value and where it stands in its file.
template <class T>
struct Located {
    T value;
    SourcePosition position;
};

/// Numbers that a key accepts, both ends included, and their unit for messages ("dB", "", …).
struct NumberRange {
    double lowest;
    double highest;
    std::string_view unit;
};

/// Reads the keys of one TOML table, each with its type and range.
///
/// A key that is not among the accepted ones is refused first of all, naming the nearest accepted
/// one. Every reading function returns nothing for an absent key and throws InputError for a wrong
/// one; the require_ variants refuse an absent key too. Asking for a key that is not among the
/// accepted ones is a mistake of the program and throws std::logic_error.
class TableReader {
  public:
    /// `name` is how messages call the table: "[levels]", "[[person]]".
    TableReader(const TomlTable& table, SourcePosition position, std::string name,
                std::vector<std::string> accepted_keys);

    [[nodiscard]] std::optional<Located<double>> number(std::string_view key,
                                                        const NumberRange& range);
    [[nodiscard]] Located<double> require_number(std::string_view key, const NumberRange& range);
    [[nodiscard]] std::optional<Located<unsigned>> count(std::string_view key, unsigned lowest,
                                                         unsigned highest);
    [[nodiscard]] std::optional<Located<bool>> boolean(std::string_view key);
    /// In one line, without control characters. `accepted` is for messages.
    [[nodiscard]] std::optional<Located<std::string>> text(
        std::string_view key, std::string_view accepted = "text in quotes");
    /// The same, not empty.
    [[nodiscard]] Located<std::string> require_text(std::string_view key,
                                                    std::string_view accepted = "text in quotes");
    /// Longer than 0 s, at most 1000 hours.
    [[nodiscard]] std::optional<Located<Seconds>> duration(std::string_view key);
    [[nodiscard]] std::optional<Located<std::vector<Located<std::string>>>> texts(
        std::string_view key);
    [[nodiscard]] std::optional<Located<std::vector<Located<double>>>> numbers(
        std::string_view key, const NumberRange& range);
    /// A sub-table, [key].
    [[nodiscard]] std::optional<TableReader> table(std::string_view key, std::string name,
                                                   std::vector<std::string> accepted_keys);
    /// An array of tables, [[key]], of at most `most`; empty when absent.
    [[nodiscard]] std::vector<TableReader> tables(std::string_view key, std::string name,
                                                  const std::vector<std::string>& accepted_keys,
                                                  std::size_t most);
    /// A value of any type, for keys that accept several.
    [[nodiscard]] const TomlValue* any(std::string_view key);

    [[nodiscard]] bool has(std::string_view key) const;
    [[nodiscard]] const SourcePosition& position() const { return position_; }
    /// Where a key stands, or the table where it is absent.
    [[nodiscard]] SourcePosition position_of(std::string_view key) const;
    [[nodiscard]] const std::string& name() const { return name_; }

    /// Throws InputError at a key's value.
    [[noreturn]] void refuse(std::string_view key, const std::string& message) const;

  private:
    [[nodiscard]] const TomlEntry* find(std::string_view key) const;
    [[nodiscard]] const TomlEntry* take(std::string_view key) const;
    [[noreturn]] void refuse_absent(std::string_view key, std::string_view accepted) const;

    const TomlTable* table_;
    SourcePosition position_;
    std::string name_;
    std::vector<std::string> accepted_keys_;
};

}  // namespace earbudget::files
