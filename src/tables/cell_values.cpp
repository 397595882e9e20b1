#include "tables/cell_values.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "files/written_values.hpp"

namespace earbudget::tables {

namespace {

using files::in_small_letters;
using files::is_digit;
using files::trimmed;

constexpr Seconds longest{3'600'000.0};  // of files: 1000 hours

/// A cell as a number and what stands behind it.
struct Split {
    std::string number;
    std::string rest;
};

/// A minus sign is a hyphen, and a plus says nothing.
Split split(std::string_view cell) {
    constexpr std::string_view minus = "−";
    std::string text(cell);
    if (text.starts_with(minus)) text.replace(0, minus.size(), "-");
    if (text.starts_with('+')) text.erase(0, 1);
    const std::size_t end = std::min(text.find_first_not_of("-.,0123456789"), text.size());
    return {text.substr(0, end), std::string(trimmed(std::string_view(text).substr(end)))};
}

std::optional<double> parsed(const std::string& number) {
    const auto with_point = files::with_decimal_point(number);
    const std::string& text = with_point ? *with_point : number;
    double value = 0.0;
    const auto [end, error] =
        std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value))
        return std::nullopt;
    return value == 0.0 ? 0.0 : value;  // not -0
}

/// "1,200" may be twelve hundred or 1.2, and "1.200" where the decimal sign is a comma.
bool may_be_thousands(std::string_view number, bool has_decimal_commas) {
    const std::size_t mark = number.find_first_of(has_decimal_commas ? ".," : ",");
    return mark != number.npos && mark >= 1 && mark <= 3 && number.front() != '0' &&
           number.size() == mark + 4;
}

/// Whether any number of a text may be so.
bool has_thousands(std::string_view text, bool has_decimal_commas) {
    constexpr std::string_view of_numbers = ".,0123456789";
    while (true) {
        const std::size_t begin = text.find_first_of(of_numbers);
        if (begin == text.npos) return false;
        text.remove_prefix(begin);
        const std::size_t end = std::min(text.find_first_not_of(of_numbers), text.size());
        if (may_be_thousands(text.substr(0, end), has_decimal_commas)) return true;
        text.remove_prefix(end);
    }
}

bool is_with_decimal_comma(std::string_view cell) {
    return files::with_decimal_point(split(cell).number).has_value();
}

/// Units that may follow a number: the column's own, and for levels decibels as such.
bool is_own_unit(const std::string& rest, const TableColumn& column) {
    std::string word;
    for (const char c : in_small_letters(rest))
        if (c != ' ' && c != '(' && c != ')') word += c;
    if (word.empty() || word == "db") return true;
    if (column.key == ColumnKey::LAeq) return word == "dba";
    return (column.key == ColumnKey::LCeq || column.key == ColumnKey::LCpeak) && word == "dbc";
}

std::string words_of(const files::NumberRange& range) {
    return "a number from " + files::text_of(range);
}

double seconds_in(std::string_view unit) {
    return unit == "ms" ? 0.001 : unit == "s" ? 1.0 : unit == "min" ? 60.0 : 3600.0;
}

/// Two or three parts between colons, whose last is below 60 where another stands before.
std::optional<std::vector<double>> parts_of(std::string_view text) {
    std::vector<double> parts;
    while (true) {
        const std::size_t colon = text.find(':');
        const std::string_view part = text.substr(0, colon);
        const bool digits = !part.empty() && part.size() <= 6 &&
                            part.find_first_not_of("0123456789.,") == part.npos;
        const auto value = digits ? parsed(std::string(part)) : std::nullopt;
        const bool whole = value && *value == std::floor(*value);
        if (!value || (colon != text.npos && !whole) || (!parts.empty() && *value >= 60.0))
            return std::nullopt;
        // So that "8:5" is neither 8:50 nor 8:05.
        if (!parts.empty() && (part.size() < 2 || !is_digit(part[1]))) return std::nullopt;
        parts.push_back(*value);
        if (colon == text.npos) break;
        text.remove_prefix(colon + 1);
    }
    return parts;
}

constexpr std::string_view accepted_times =
    "\"90 s\", \"8 min\", \"1 h 10 min\", \"00:08:30\" (hours, minutes, seconds), or a unit in the "
    "heading, such as duration (s), duration (min) or duration (min:s)";

/// What a time with colons is by the unit of its heading; `why` says why it cannot be told.
std::optional<Seconds> clock_time(const std::vector<double>& parts, const std::string& unit,
                                  std::string& why) {
    if (parts.size() == 3) {
        // A spreadsheet makes 08:30:00 of what was typed as 8:30.
        if (!unit.empty() && unit != "h:min:s") {
            why = fmt::format(", and its heading says {}", unit);
            return std::nullopt;
        }
        return Seconds(3600.0 * parts[0] + 60.0 * parts[1] + parts[2]);
    }
    if (unit == "min:s" || unit == "min") return Seconds(60.0 * parts[0] + parts[1]);
    if (unit == "h:min" || unit == "h") return Seconds(3600.0 * parts[0] + 60.0 * parts[1]);
    why = unit.empty() ? ", which could be minutes and seconds or hours and minutes"
                       : fmt::format(", and its heading says {}", unit);
    return std::nullopt;
}

}  // namespace

TableReading::TableReading(const std::string& table_path, const Cells& all,
                           const TableHead& table_head, files::ErrorList& list)
    : path(table_path), cells(all), head(table_head), errors(list), has_decimal_commas(false) {
    for (std::size_t row = head.row + 1; row < cells.rows.size(); ++row)
        for (const TableColumn& column : head.columns)
            if (column.key != ColumnKey::Title && column.key != ColumnKey::Id)
                has_decimal_commas =
                    has_decimal_commas || is_with_decimal_comma(cells.at(row, column.index));
}

SourcePosition TableReading::at(std::size_t row, const TableColumn& column) const {
    return {path, static_cast<unsigned>(row + 1), static_cast<unsigned>(column.index + 1)};
}

SourcePosition TableReading::at(std::size_t row) const {
    return {path, static_cast<unsigned>(row + 1)};
}

std::string_view TableReading::text(std::size_t row, ColumnKey key) const {
    const TableColumn* column = head.find(key);
    const std::string_view cell = column ? cells.at(row, column->index) : std::string_view();
    return is_blank_cell(cell) ? std::string_view() : cell;
}

void TableReading::report(std::size_t row, const TableColumn& column,
                          const std::string& problem) const {
    errors.add({at(row, column), fmt::format("column \"{}\": \"{}\" {}", column.name,
                                             cells.at(row, column.index), problem)});
}

std::optional<double> TableReading::number(std::size_t row, const TableColumn& column,
                                           const files::NumberRange& range) const {
    const std::string_view cell = cells.at(row, column.index);
    if (is_blank_cell(cell)) return std::nullopt;
    const Split parts = split(cell);
    const auto value = parsed(parts.number);
    if (!value || !is_own_unit(parts.rest, column)) {
        report(
            row, column,
            fmt::format("is {}; accepted: {}",
                        value ? "of another unit than the column" : "no number", words_of(range)));
    } else if (*value < range.lowest || *value > range.highest) {
        report(row, column, fmt::format("is out of range; accepted: {}", words_of(range)));
    } else {
        return value;
    }
    return std::nullopt;
}

std::optional<unsigned> TableReading::count(std::size_t row, const TableColumn& column) const {
    constexpr double most = 100'000.0;
    const std::string_view cell = cells.at(row, column.index);
    if (is_blank_cell(cell)) return std::nullopt;
    const Split parts = split(cell);
    const auto value = parsed(parts.number);
    if (value && parts.rest.empty() && *value == std::floor(*value) && *value >= 1.0 &&
        *value <= most && !may_be_thousands(parts.number, true))
        return static_cast<unsigned>(*value);
    report(row, column, "is no whole number; accepted: a whole number from 1 to 100000");
    return std::nullopt;
}

std::optional<Seconds> TableReading::duration(std::size_t row, const TableColumn& column) const {
    const std::string cell(cells.at(row, column.index));
    if (is_blank_cell(cell)) return std::nullopt;
    std::optional<Seconds> time;
    std::string why;
    const Split parts = split(cell);
    const bool plain = !parts.number.empty() && parts.rest.empty();
    if (cell.find(':') != cell.npos) {
        if (const auto clock = parts_of(cell)) time = clock_time(*clock, column.unit, why);
    } else if (has_thousands(cell, has_decimal_commas)) {
        why = ", which could be thousands or a fraction";
    } else if (plain) {
        const bool has_unit = !column.unit.empty() && column.unit.find(':') == std::string::npos;
        const auto value = parsed(parts.number);
        if (value && has_unit) time = Seconds(*value * seconds_in(column.unit));
        if (!has_unit) why = ", without a unit";
    } else {
        std::string with_points = cell;
        std::ranges::replace(with_points, ',', '.');
        time = files::parse_duration(with_points);
    }
    if (time && *time >= Seconds(0.0) && *time <= longest) return time;
    report(row, column,
           fmt::format("is no duration{}; accepted: {}",
                       time ? std::string(" from 0 s to 1000 h") : why, accepted_times));
    return std::nullopt;
}

std::optional<bool> TableReading::flag(std::size_t row, const TableColumn& column) const {
    constexpr std::array<std::string_view, 5> yes = {"yes", "true", "y", "1", "x"};
    constexpr std::array<std::string_view, 4> no = {"no", "false", "n", "0"};
    const std::string cell = in_small_letters(cells.at(row, column.index));
    if (is_blank_cell(cell)) return std::nullopt;
    if (std::ranges::count(yes, cell) > 0) return true;
    if (std::ranges::count(no, cell) > 0) return false;
    report(row, column, "is neither yes nor no; accepted: yes, no or nothing");
    return std::nullopt;
}

bool is_empty_row(const Cells& cells, std::size_t row) {
    return std::ranges::all_of(cells.rows[row], &std::string::empty);
}

std::string id_from_title(std::string_view title) {
    constexpr std::size_t longest_id = 60;
    std::string id;
    for (const char c : in_small_letters(title)) {
        const auto byte = static_cast<unsigned char>(c);
        const bool kept = (c >= 'a' && c <= 'z') || is_digit(c) || byte >= 0x80;
        // No character is cut in two.
        if (id.size() >= longest_id && (byte & 0xC0U) != 0x80) break;
        if (kept) {
            id += c;
        } else if (!id.empty() && id.back() != '-') {
            id += '-';
        }
    }
    while (!id.empty() && id.back() == '-')
        id.pop_back();
    return id.empty() ? "item" : id;
}

}  // namespace earbudget::tables
