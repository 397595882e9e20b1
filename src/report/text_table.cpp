#include <algorithm>

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

/// A column as it is printed.
struct Printed {
    std::vector<std::string> head = {};  ///< lines
    std::vector<std::string> cells = {};
    std::size_t width = 0;
    bool to_the_right = true;
};

/// A title in lines of that width where its words allow it, broken after blanks: an id stays whole.
std::vector<std::string> in_lines(std::string_view title, std::size_t width) {
    std::vector<std::string> lines = {""};
    while (!title.empty()) {
        const std::size_t at = title.find(' ');
        std::string part(title.substr(0, at == title.npos ? at : at + 1));
        title.remove_prefix(part.size());
        const std::size_t seen = width_of(part) - (part.ends_with(' ') ? 1 : 0);
        if (!lines.back().empty() && width_of(lines.back()) + seen > width) lines.emplace_back();
        lines.back() += part;
    }
    for (std::string& line : lines)
        line.erase(line.find_last_not_of(' ') + 1);
    return lines;
}

/// Numbers of a column with units of their own stand below one another, and so do the units.
void align_units(const Table& table, std::size_t n, std::vector<std::string>& cells) {
    std::size_t unit_width = 0;
    for (const Row& row : table.rows)
        if (n < row.cells.size()) unit_width = std::max(unit_width, width_of(row.cells[n].unit));
    if (unit_width == 0) return;
    for (std::size_t k = 0; k < cells.size(); ++k) {
        const Row& row = table.rows[k];
        const bool has_any = n < row.cells.size() && row.cells.size() > 1;
        if (has_any) cells[k] += std::string(unit_width - width_of(row.cells[n].unit), ' ');
    }
}

Printed printed_column(const Table& table, std::size_t n) {
    const Column& column = table.columns[n];
    Printed result{.to_the_right = n > 0 && column.number};
    for (const Row& row : table.rows) {
        const bool has_any = n < row.cells.size() && row.cells.size() > 1;
        result.cells.push_back(has_any ? visible_text(words_of(row.cells[n], column)) : "");
    }
    align_units(table, n, result.cells);
    constexpr std::size_t least_for_a_title = 8;
    result.width = std::max(least_for_a_title, width_of(column.unit));
    for (const std::string& cell : result.cells) {
        const std::size_t width = width_of(cell);
        if (n > 0 || width <= widest_label) result.width = std::max(result.width, width);
    }
    result.head = in_lines(visible_text(column.title), result.width);
    if (!column.unit.empty()) result.head.emplace_back(column.unit);
    std::size_t widest_line = 0;
    for (const std::string& line : result.head)
        widest_line = std::max(widest_line, width_of(line));
    for (const std::string& cell : result.cells)
        if (n > 0 || width_of(cell) <= widest_label)
            widest_line = std::max(widest_line, width_of(cell));
    result.width = widest_line;
    return result;
}

std::string line_of(const std::vector<const Printed*>& columns, std::size_t indent,
                    const std::function<std::string(const Printed&)>& cell_of) {
    std::string line(indent, ' ');
    for (std::size_t n = 0; n < columns.size(); ++n) {
        const std::string cell = cell_of(*columns[n]);
        if (n > 0) line += std::string(gap, ' ');
        line += columns[n]->to_the_right ? at_right(cell, columns[n]->width)
                                         : at_left(cell, columns[n]->width);
    }
    return line.erase(line.find_last_not_of(' ') + 1) + '\n';
}

std::string head_of(const std::vector<const Printed*>& columns, std::size_t indent) {
    std::size_t lines = 0;
    for (const Printed* column : columns)
        lines = std::max(lines, column->head.size());
    std::string text;
    for (std::size_t n = 0; n < lines; ++n)
        text += line_of(columns, indent, [n](const Printed& column) {
            return n < column.head.size() ? column.head[n] : std::string();
        });
    return text;
}

std::string notes_of(const Row& row, std::size_t indent) {
    std::string text;
    for (const std::string& note : row.notes)
        text += wrapped("- " + note, indent, indent + 2);
    return text;
}

/// Some columns of a table, with the rows' labels; notes in the first part alone.
std::string part_of(const Table& table, const std::vector<const Printed*>& columns,
                    std::size_t indent, bool first) {
    std::string text = head_of(columns, indent);
    for (std::size_t k = 0; k < table.rows.size(); ++k) {
        const Row& row = table.rows[k];
        if (row.cells.size() == 1) {
            text += wrapped(words_of(row.cells[0], table.columns[0]), indent, indent + 2);
        } else {
            const bool alone = width_of(columns[0]->cells[k]) > columns[0]->width;
            if (alone) text += wrapped(columns[0]->cells[k], indent, indent + 2);
            text += line_of(columns, indent, [&](const Printed& column) {
                return alone && &column == columns[0] ? std::string() : column.cells[k];
            });
        }
        if (first) text += notes_of(row, indent + 4);
    }
    return text;
}

std::string in_parts(const Table& table, std::size_t indent) {
    std::vector<Printed> columns;
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
        text += part_of(table, some, indent, first);
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
