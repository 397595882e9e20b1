#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "earbudget/acoustics/units.hpp"
#include "files/keys.hpp"
#include "tables/headings.hpp"

namespace earbudget::tables {

/// A table while its rows are read: cells with their places, mistakes to the list.
struct TableReading {
    const std::string& path;
    const Cells& cells;
    const TableHead& head;
    files::ErrorList& errors;
    bool has_decimal_commas;

    TableReading(const std::string& table_path, const Cells& all, const TableHead& table_head,
                 files::ErrorList& list);

    [[nodiscard]] SourcePosition at(std::size_t row, const TableColumn& column) const;
    [[nodiscard]] SourcePosition at(std::size_t row) const;
    /// What stands in a column; empty where the table has none, or a sign for nothing.
    [[nodiscard]] std::string_view text(std::size_t row, ColumnKey key) const;
    /// Lists a mistake in a cell: `problem` follows the column's name and what stands there.
    void report(std::size_t row, const TableColumn& column, const std::string& problem) const;

    // What a cell says; none for an empty one and for a wrong one, which is listed.

    /// A number in the range of a key, with a decimal point or comma, possibly with the column's
    /// unit behind it.
    [[nodiscard]] std::optional<double> number(std::size_t row, const TableColumn& column,
                                               const files::NumberRange& range) const;
    /// The same, whole and positive.
    [[nodiscard]] std::optional<unsigned> count(std::size_t row, const TableColumn& column) const;
    /// A time with its unit in the cell or in the heading. "10:00" needs one that says of what.
    [[nodiscard]] std::optional<Seconds> duration(std::size_t row, const TableColumn& column) const;
    [[nodiscard]] std::optional<bool> flag(std::size_t row, const TableColumn& column) const;
};

/// Whether a row holds nothing.
[[nodiscard]] bool is_empty_row(const Cells& cells, std::size_t row);

/// An id made of a title: small letters, digits and hyphens; "item" where nothing is left.
[[nodiscard]] std::string id_from_title(std::string_view title);

}  // namespace earbudget::tables
