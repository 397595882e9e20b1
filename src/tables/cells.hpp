#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "files/error_list.hpp"

namespace earbudget::tables {

/// The cells of a table, row by row as a spreadsheet counts them, empty rows too; a row may be
/// shorter than others. Line breaks and tabs within a cell are blanks, and none stand at its ends.
struct Cells {
    std::vector<std::vector<std::string>> rows;
    char separator = ',';

    /// Empty where the row is shorter; both from 0.
    [[nodiscard]] std::string_view at(std::size_t row, std::size_t column) const;
};

/// Splits a text, whose line ends are line feeds, into cells (RFC 4180, and semicolons and tabs in
/// the place of commas). The separator is that of the first row that has one: a tab, else a
/// semicolon, else a comma; a first line "sep=;" states it. A cell with a character that cannot be
/// seen goes to the list. Throws InputError where quotes are wrong, by row and column, and for more
/// rows or columns than any unit has.
[[nodiscard]] Cells cells_of(std::string_view text, const std::string& path,
                             files::ErrorList& errors);

/// Whether nothing stands in a cell, or a sign for that: "-", "n/a".
[[nodiscard]] bool is_blank_cell(std::string_view cell);

}  // namespace earbudget::tables
