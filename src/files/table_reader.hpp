#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/duration.hpp"
#include "files/error_list.hpp"
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
/// A key that is not among the accepted ones is a mistake that names the nearest accepted one.
/// Every reading function returns nothing for an absent key and for a wrong one, whose mistake goes
/// to the list of errors; the require_ variants list an absent key too, and throw AlreadyListed for
/// both. Who reads a file throws what is in the list when all is read. Asking for a key that is not
/// among the accepted ones is a mistake of the program and throws std::logic_error.
class TableReader {
  public:
    /// `name` is how messages call the table: "[levels]", "[[person]]". The list must live longer.
    TableReader(const TomlTable& table, SourcePosition position, std::string name,
                std::vector<std::string> accepted_keys, ErrorList& errors);

    [[nodiscard]] std::optional<Located<double>> number(std::string_view key,
                                                        const NumberRange& range);
    [[nodiscard]] Located<double> require_number(std::string_view key, const NumberRange& range);
    [[nodiscard]] std::optional<Located<unsigned>> count(std::string_view key, unsigned lowest,
                                                         unsigned highest);
    [[nodiscard]] Located<unsigned> require_count(std::string_view key, unsigned lowest,
                                                  unsigned highest, std::string_view accepted);
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
    /// Whether an unknown key is nearest to this one, which may be meant by it.
    [[nodiscard]] bool is_misspelt(std::string_view key) const;
    /// Where a key stands, or the table where it is absent.
    [[nodiscard]] SourcePosition position_of(std::string_view key) const;
    [[nodiscard]] const std::string& name() const { return name_; }

    /// Runs a part of the reading and lists the InputError that it throws; but not where this table
    /// or what was read since had a mistake already, of which that may be a consequence: so for
    /// what keys must have to do with each other. What is wrong on its own goes through report() or
    /// errors().attempt(). True when nothing was wrong.
    bool attempt(const std::function<void()>& read);

    /// Throws InputError at a key's value, for what may be a consequence of another mistake.
    [[noreturn]] void refuse(std::string_view key, const std::string& message) const;
    /// Lists a mistake at a key's value that is one whatever else is wrong.
    void report(std::string_view key, const std::string& message) const;
    [[nodiscard]] ErrorList& errors() const { return *errors_; }
    /// Whether this table, or what was read since its first key was, has a mistake.
    [[nodiscard]] bool has_mistakes() const { return begun_at_ && errors_->size() > *begun_at_; }

  private:
    void list_unknown_keys();
    [[nodiscard]] const TomlEntry* find(std::string_view key) const;
    [[nodiscard]] const TomlEntry* take(std::string_view key);
    [[noreturn]] void refuse_absent(std::string_view key, std::string_view accepted) const;
    /// The value of a key, converted; none where it is absent or the conversion throws InputError.
    template <class Convert>
    auto converted(std::string_view key, Convert&& convert);

    const TomlTable* table_;
    ErrorList* errors_;
    std::optional<std::size_t> begun_at_;  ///< the size of the list when reading began
    std::vector<std::string> meant_keys_;  ///< that unknown ones are nearest to
    SourcePosition position_;
    std::string name_;
    std::vector<std::string> accepted_keys_;
};

}  // namespace earbudget::files
