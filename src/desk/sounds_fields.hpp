#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "desk/desk.hpp"
#include "earbudget/study/input_error.hpp"
#include "editing/edit.hpp"
#include "files/error_list.hpp"
#include "files/keys.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::desk {

// Forms over TOML files: each field is a key, what is typed becomes edits of the file's text, and
// what is wrong with them is said by the readers that read every other file, at the field.

/// A key as a field.
struct KeyField {
    std::string name;     ///< in the form: "levels.LAeq"
    editing::Path table;  ///< that the key is in
    const files::Key* key;
};

/// The keys of a table and of the tables in it, but arrays of numbers and of tables, and `left_out`
/// by their names in the form.
[[nodiscard]] std::vector<KeyField> fields_of(const files::KeyTable& keys,
                                              const editing::Path& table,
                                              const std::vector<std::string_view>& left_out = {});

/// Texts of fields by their names.
using Typed = std::map<std::string, std::string>;

/// What a file holds, as fields show it; what is not stated is not in it.
[[nodiscard]] Typed shown_values(const files::TomlTable& document,
                                 const std::vector<KeyField>& fields);

/// What was typed: of fields that the form has, without blanks around it.
[[nodiscard]] Typed typed_values(const Form& form, const std::vector<KeyField>& fields);

/// The changes from what is shown to what is typed. What is no number where one belongs is written
/// as a text, so that the reader says what is accepted.
[[nodiscard]] std::vector<editing::Edit> edits_between(const Typed& shown, const Typed& typed,
                                                       const std::vector<KeyField>& fields);

/// What is wrong, by fields, and what belongs to none.
struct Mistakes {
    std::map<std::string, std::string> at = {};
    std::vector<std::string> others = {};

    [[nodiscard]] bool none() const { return at.empty() && others.empty(); }
    [[nodiscard]] std::size_t count() const { return at.size() + others.size(); }
    [[nodiscard]] const std::string& of(const std::string& name) const;
};

/// Where values stand that are fields of their own, as elements of arrays are.
using Places = std::vector<std::pair<SourcePosition, std::string>>;

/// Files mistakes of the file at `path` under the fields whose values they stand at.
void sort_mistakes(const files::InputErrors& errors, const std::string& path,
                   const files::TomlTable& document, const std::vector<KeyField>& fields,
                   const Places& places, Mistakes& mistakes);

/// The table that a path leads to; null where there is none.
[[nodiscard]] const files::TomlTable* table_in(const files::TomlTable& document,
                                               const editing::Path& path);
/// The entry of a key in it; null where there is none.
[[nodiscard]] const files::TomlEntry* entry_in(const files::TomlTable& document,
                                               const editing::Path& path, std::string_view key);

/// The whole text as a number; none for anything else.
[[nodiscard]] std::optional<double> typed_number(std::string_view text);

/// A number as a field shows it.
[[nodiscard]] std::string shown_number(double value);

}  // namespace earbudget::desk
