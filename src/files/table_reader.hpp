#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "earbudget/acoustics/units.hpp"
#include "files/error_list.hpp"
#include "files/keys.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::files {

/// A value and where it stands in its file.
template <class T>
struct Located {
    T value;
    SourcePosition position;
};

/// Reads the keys of one TOML table, each with the type and range that its row of the table of
/// keys states.
///
/// A key that is not among those is a mistake that names the nearest. Every reading function
/// returns nothing for an absent key and for a wrong one, whose mistake goes to the list of errors;
/// the require_ variants list an absent key too, and throw AlreadyListed for both. Who reads a file
/// throws what is in the list when all is read. Asking for a key that is not in the table of keys
/// is a mistake of the program and throws std::logic_error.
class TableReader {
  public:
    /// `name` is how messages call the table: "[levels]", "[[person]]". The list must live longer.
    TableReader(const TomlTable& table, SourcePosition position, std::string name,
                const KeyTable& keys, ErrorList& errors);

    [[nodiscard]] std::optional<Located<double>> number(std::string_view key);
    [[nodiscard]] Located<double> require_number(std::string_view key);
    [[nodiscard]] std::optional<Located<unsigned>> count(std::string_view key);
    [[nodiscard]] std::optional<Located<bool>> boolean(std::string_view key);
    /// In one line, without control characters; where the key has words, one of them.
    [[nodiscard]] std::optional<Located<std::string>> text(std::string_view key);
    /// The same, not empty.
    [[nodiscard]] Located<std::string> require_text(std::string_view key);
    /// Longer than 0 s, at most 1000 hours.
    [[nodiscard]] std::optional<Located<Seconds>> duration(std::string_view key);
    /// Where the key has words, those of them.
    [[nodiscard]] std::optional<Located<std::vector<Located<std::string>>>> texts(
        std::string_view key);
    [[nodiscard]] std::optional<Located<std::vector<Located<double>>>> numbers(
        std::string_view key);
    /// A sub-table, [key].
    [[nodiscard]] std::optional<TableReader> table(std::string_view key);
    /// An array of tables, [[key]]; empty when absent.
    [[nodiscard]] std::vector<TableReader> tables(std::string_view key);
    /// A value of any type, for keys that accept several.
    [[nodiscard]] const TomlValue* any(std::string_view key);

    /// Puts the value of a key where it belongs: a number, a count, a flag or a text by the type
    /// there. What is absent or wrong leaves it as it is.
    template <class T>
    void put(std::string_view key, T& target);
    template <class T>
    void put(std::string_view key, std::optional<T>& target);

    /// Whether a text is this word; what is absent or wrong leaves the target as it is.
    void put_whether(std::string_view key, std::string_view word, bool& target) {
        if (const auto stated = text(key)) target = stated->value == word;
    }

    /// The enumerator whose name a text is; none where it is absent or none of the names.
    template <class Rows>
    [[nodiscard]] auto choice(std::string_view key, const Rows& rows);
    /// Those whose names stand in an array; none where it is absent.
    template <class Rows>
    [[nodiscard]] auto choices(std::string_view key, const Rows& rows);

    [[nodiscard]] bool has(std::string_view key) const;
    /// Whether the value of a key is a table, where a key may have a text or a table.
    [[nodiscard]] bool is_table(std::string_view key) const;
    /// All keys that stand there, in the order in which they stand there.
    [[nodiscard]] std::vector<std::string> keys_there() const;
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
    /// Lists that an id stands twice, and where first.
    void report_twice(std::string_view id, const SourcePosition& first) const;
    [[nodiscard]] ErrorList& errors() const { return *errors_; }
    /// Whether this table, or what was read since its first key was, has a mistake.
    [[nodiscard]] bool has_mistakes() const { return begun_at_ && errors_->size() > *begun_at_; }

  private:
    void list_unknown_keys();
    [[nodiscard]] const TomlEntry* find(std::string_view key) const;
    [[nodiscard]] const TomlEntry* take(std::string_view key);
    [[noreturn]] void refuse_absent(std::string_view key) const;
    template <class T>
    [[nodiscard]] std::optional<T> stated(std::string_view key);
    [[nodiscard]] std::string name_of_part(std::string_view key) const;
    /// The value of a key, converted; none where it is absent or the conversion throws InputError.
    /// `convert` takes the value and the row of the key.
    template <class Convert>
    auto converted(std::string_view key, Convert&& convert);

    const TomlTable* table_;
    ErrorList* errors_;
    std::optional<std::size_t> begun_at_;  ///< the size of the list when reading began
    std::vector<std::string> meant_keys_;  ///< that unknown ones are nearest to
    SourcePosition position_;
    std::string name_;
    const KeyTable* keys_;
};

template <class T>
std::optional<T> TableReader::stated(std::string_view key) {
    const auto as = [](const auto& found) {
        return found ? std::optional<T>(T(found->value)) : std::nullopt;
    };
    if constexpr (std::is_same_v<T, bool>) {
        return as(boolean(key));
    } else if constexpr (std::is_same_v<T, unsigned>) {
        return as(count(key));
    } else if constexpr (std::is_same_v<T, std::string>) {
        return as(text(key));
    } else {
        return as(number(key));
    }
}

template <class T>
void TableReader::put(std::string_view key, T& target) {
    if (auto value = stated<T>(key)) target = *std::move(value);
}

template <class T>
void TableReader::put(std::string_view key, std::optional<T>& target) {
    if (auto value = stated<T>(key)) target = std::move(value);
}

template <class Rows>
auto TableReader::choice(std::string_view key, const Rows& rows) {
    const auto stated = text(key);
    return stated ? rows.parse(stated->value) : std::nullopt;
}

template <class Rows>
auto TableReader::choices(std::string_view key, const Rows& rows) {
    std::optional<std::vector<typename Rows::Key>> result;
    const auto stated = texts(key);
    if (!stated) return result;
    result.emplace();
    for (const auto& text : stated->value) {
        if (const auto named = rows.parse(text.value)) result->push_back(*named);
    }
    return result;
}

}  // namespace earbudget::files
