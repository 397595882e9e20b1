#pragma once

#include <string>
#include <vector>

#include "editing/edit.hpp"
#include "editing/outline.hpp"

namespace earbudget::editing {

/// A part of a text that another is put in the place of.
struct Splice {
    Span place;
    std::string text;
};

/// A text with all of them, none of which overlap; where two have the same place, in their order.
[[nodiscard]] std::string spliced(const std::string& text, std::vector<Splice> splices);

/// What an edit does to a text. Throws InputError as `edited`.
[[nodiscard]] std::vector<Splice> splices_for(const Set& set, const Outline& outline);
[[nodiscard]] std::vector<Splice> splices_for(const Remove& remove, const Outline& outline);
[[nodiscard]] std::vector<Splice> splices_for(const MoveEntry& move, const Outline& outline);
[[nodiscard]] std::vector<Splice> splices_for(const RemoveEntry& remove, const Outline& outline);
[[nodiscard]] std::vector<Splice> splices_for(const DuplicateEntry& copy, const Outline& outline);
[[nodiscard]] std::vector<Splice> splices_for(const InsertEntry& insert, const Outline& outline);

/// Takes whole lines away, with the blank line that would then be one too many.
[[nodiscard]] Splice without_lines(const Outline& outline, Span lines);

/// Whether the line before stands empty.
[[nodiscard]] bool is_blank_above(const Outline& outline, std::size_t line);

/// "key = value".
[[nodiscard]] std::string written_pair(std::string_view key, const Value& value);
[[nodiscard]] std::string written_value(const Value& value);

/// The value as it is read.
[[nodiscard]] files::TomlValue read_value(const Value& value);

/// Whether two are the same but for where and how they are written; an empty table is as good as
/// none.
[[nodiscard]] bool is_alike(const files::TomlValue& one, const files::TomlValue& other);
[[nodiscard]] bool is_alike(const files::TomlTable& one, const files::TomlTable& other);

/// Does to the values what the edit does to the text. The edit must be one of the document.
void apply(const Edit& edit, files::TomlTable& document);

}  // namespace earbudget::editing
