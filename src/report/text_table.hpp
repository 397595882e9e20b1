#pragma once

#include <string>

#include "report/document.hpp"

namespace earbudget::report {

/// What a cell says in its column: the number as the column rounds it, or the words; with its unit.
[[nodiscard]] std::string words_of(const Cell& cell, const Column& column);

/// A table for a terminal: columns as wide as what stands in them, titles broken to that, notes
/// below their row. One that is too wide goes on below itself with the columns that are left.
[[nodiscard]] std::string text_table(const Table& table, std::size_t indent);

}  // namespace earbudget::report
