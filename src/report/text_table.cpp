#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/study/visible_text.hpp"
#include "report/document.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

constexpr std::size_t widest_table = 112;  // own choice; a wider table is told in parts
constexpr std::size_t widest_label = 44;   // a longer one stands in a line of its own
constexpr std::size_t gap = 2;

/// What stands in one place of a table.
struct Seen {
    std::string text;
    std::size_t width;
};

Seen seen_of(std::string text) {
    const std::size_t width = width_of(text);
    return {std::move(text), width};
}

/// A column as it is printed.
struct Printed {
    std::vector<Seen> head = {};  ///< lines
    std::vector<Seen> cells = {};
    std::size_t width = 0;
    bool to_the_right = true;
};

/// As visible_text, which nearly all words are already.
std::string visible(std::string words) {
    return printable_ascii(words) == words.size() ? std::move(words) : visible_text(words);
}

/// A title in lines of that width where its words allow it, broken after blanks: an id stays whole.
std::vector<Seen> in_lines(std::string_view title, std::size_t width) {
    std::vector<std::string> lines = {""};
    while (!title.empty()) {
        const std::size_t at = title.find(' ');
        std::string part(title.substr(0, at == title.npos ? at : at + 1));
        title.remove_prefix(part.size());
        const std::size_t seen = width_of(part) - (part.ends_with(' ') ? 1 : 0);
        if (!lines.back().empty() && width_of(lines.back()) + seen > width) lines.emplace_back();
        lines.back() += part;
    }
    std::vector<Seen> seen;
    for (std::string& line : lines) {
        line.erase(line.find_last_not_of(' ') + 1);
        seen.push_back(seen_of(std::move(line)));
    }
    return seen;
}

/// Numbers of a column with units of their own stand below one another, and so do the units.
void align_units(const Table& table, std::size_t n, std::vector<Seen>& cells) {
    std::size_t unit_width = 0;
    for (const Row& row : table.rows)
        if (n < row.cells.size()) unit_width = std::max(unit_width, width_of(row.cells[n].unit));
    if (unit_width == 0) return;
    for (std::size_t k = 0; k < cells.size(); ++k) {
        const Row& row = table.rows[k];
        if (n >= row.cells.size() || row.cells.size() == 1) continue;
        const std::size_t lacking = unit_width - width_of(row.cells[n].unit);
        cells[k].text.append(lacking, ' ');
        cells[k].width += lacking;
    }
}

Printed printed_column(const Table& table, std::size_t n) {
    const Column& column = table.columns[n];
    Printed result{.to_the_right = n > 0 && column.number};
    result.cells.reserve(table.rows.size());
    for (const Row& row : table.rows) {
        const bool has_any = n < row.cells.size() && row.cells.size() > 1;
        result.cells.push_back(
            seen_of(has_any ? visible(words_of(row.cells[n], column)) : std::string()));
    }
    align_units(table, n, result.cells);
    std::size_t widest_cell = 0;
    for (const Seen& cell : result.cells)
        if (n > 0 || cell.width <= widest_label) widest_cell = std::max(widest_cell, cell.width);
    constexpr std::size_t least_for_a_title = 8;
    const std::size_t for_title = std::max({least_for_a_title, width_of(column.unit), widest_cell});
    result.head = in_lines(visible_text(column.title), for_title);
    if (!column.unit.empty()) result.head.push_back(seen_of(std::string(column.unit)));
    result.width = widest_cell;
    for (const Seen& line : result.head)
        result.width = std::max(result.width, line.width);
    return result;
}

/// Adds a line of cells, `cell_of` each column; null where it has none there.
template <class CellOf>
void add_line(const std::vector<const Printed*>& columns, std::size_t indent, const CellOf& cell_of,
              std::string& text) {
    text.append(indent, ' ');
    for (std::size_t n = 0; n < columns.size(); ++n) {
        const Printed& column = *columns[n];
        const Seen* const cell = cell_of(column);
        const std::size_t taken = cell ? cell->width : 0;
        const std::size_t room = column.width > taken ? column.width - taken : 0;
        text.append((n > 0 ? gap : 0) + (column.to_the_right ? room : 0), ' ');
        if (cell) text += cell->text;
        if (!column.to_the_right) text.append(room, ' ');
    }
    text.erase(text.find_last_not_of(' ') + 1);
    text += '\n';
}

void add_head(const std::vector<const Printed*>& columns, std::size_t indent, std::string& text) {
    std::size_t lines = 0;
    for (const Printed* column : columns)
        lines = std::max(lines, column->head.size());
    for (std::size_t n = 0; n < lines; ++n) {
        const auto line_of = [n](const Printed& column) {
            return n < column.head.size() ? &column.head[n] : nullptr;
        };
        add_line(columns, indent, line_of, text);
    }
}

/// Adds some columns of a table, with the rows' labels; notes in the first part alone.
void add_part(const Table& table, const std::vector<const Printed*>& columns, std::size_t indent,
              bool first, std::string& text) {
    add_head(columns, indent, text);
    for (std::size_t k = 0; k < table.rows.size(); ++k) {
        const Row& row = table.rows[k];
        if (row.cells.size() == 1) {
            text += wrapped(words_of(row.cells[0], table.columns[0]), indent, indent + 2);
        } else {
            const Printed& label = *columns[0];
            const bool alone = label.cells[k].width > label.width;
            if (alone) text += wrapped(label.cells[k].text, indent, indent + 2);
            const auto cell_of = [&](const Printed& column) {
                return alone && &column == &label ? nullptr : &column.cells[k];
            };
            add_line(columns, indent, cell_of, text);
        }
        if (!first) continue;
        for (const std::string& note : row.notes)
            text += wrapped("- " + note, indent + 4, indent + 6);
    }
}

std::string in_parts(const Table& table, std::size_t indent) {
    std::vector<Printed> columns;
    columns.reserve(table.columns.size());
    for (std::size_t n = 0; n < table.columns.size(); ++n)
        columns.push_back(printed_column(table, n));
    std::string text;
    for (std::size_t next = 1; next < columns.size() || next == 1;) {
        std::vector<const Printed*> some = {&columns[0]};
        std::size_t width = indent + columns[0].width;
        const bool first = next == 1;
        while (next < columns.size() &&
               (some.size() == 1 || width + gap + columns[next].width <= widest_table)) {
            width += gap + columns[next].width;
            some.push_back(&columns[next++]);
        }
        add_part(table, some, indent, first, text);
        if (columns.size() == 1) break;
    }
    return text;
}

/// Columns as rows, as many beside one another as fit a line.
std::string across(const Table& table, std::size_t indent) {
    std::size_t label = 0;
    for (const Column& column : table.columns)
        label = std::max(label, width_of(column.whole_title()));
    constexpr std::size_t cell_width = 7;
    const std::size_t in_a_line = std::max<std::size_t>(1, (96 - indent - label) / cell_width);
    std::string text;
    for (std::size_t begin = 0; begin < table.rows.size(); begin += in_a_line) {
        const std::size_t end = std::min(begin + in_a_line, table.rows.size());
        for (std::size_t n = 0; n < table.columns.size(); ++n) {
            const Column& column = table.columns[n];
            text += std::string(indent, ' ') + at_left(column.whole_title(), label);
            for (std::size_t k = begin; k < end; ++k)
                text +=
                    at_right(visible_text(words_of(table.rows[k].cells[n], column)), cell_width);
            text += '\n';
        }
    }
    return text;
}

}  // namespace

std::string words_of(const Cell& cell, const Column& column) {
    std::string words = cell.number ? decimal_text(*cell.number, column.decimals) : cell.words;
    return cell.unit.empty() ? words : fmt::format("{} {}", words, cell.unit);
}

std::string text_table(const Table& table, std::size_t indent) {
    if (table.rows.empty()) return "";
    return table.across ? across(table, indent) : in_parts(table, indent);
}

}  // namespace earbudget::report
