#include <charconv>
#include <chrono>
#include <cmath>

#include <fmt/format.h>

#include "bids/scan_files.hpp"
#include "files/written_values.hpp"
#include "tables/cells.hpp"
#include "tables/decoded_text.hpp"

namespace earbudget::bids {

namespace {

/// Takes digits from the front of a text: as many as said, and what stands behind them.
std::optional<int> take(std::string_view& text, std::size_t digits, std::string_view behind) {
    if (text.size() < digits) return std::nullopt;
    int number = 0;
    const char* end = text.data() + digits;
    const auto [stop, failure] = std::from_chars(text.data(), end, number);
    if (failure != std::errc() || stop != end || number < 0) return std::nullopt;
    text.remove_prefix(digits);
    if (!text.starts_with(behind)) return std::nullopt;
    text.remove_prefix(behind.size());
    return number;
}

std::optional<double> take_fraction(std::string_view& text) {
    if (!text.starts_with('.')) return 0.0;
    std::size_t length = 1;
    while (length < text.size() && files::is_digit(text[length]))
        ++length;
    double value = 0.0;
    const std::string digits = "0" + std::string(text.substr(0, length));
    const auto [stop, failure] = std::from_chars(digits.data(), digits.data() + digits.size(),
                                                 value, std::chars_format::fixed);
    if (failure != std::errc() || length == 1) return std::nullopt;
    text.remove_prefix(length);
    return value;
}

/// "Z", "+01:00" or nothing, in seconds.
std::optional<double> take_zone(std::string_view& text) {
    if (text.empty()) return 0.0;
    if (text == "Z") {
        text.remove_prefix(1);
        return 0.0;
    }
    const double sign = text.starts_with('-') ? -1.0 : 1.0;
    if (!text.starts_with('-') && !text.starts_with('+')) return std::nullopt;
    text.remove_prefix(1);
    const auto hours = take(text, 2, ":");
    const auto minutes = take(text, 2, "");
    if (!hours || !minutes) return std::nullopt;
    return sign * (*hours * 3600.0 + *minutes * 60.0);
}

std::optional<double> take_date(std::string_view& text) {
    const auto year = take(text, 4, "-");
    const auto month = take(text, 2, "-");
    const auto day = take(text, 2, "T");
    if (!year || !month || !day) return std::nullopt;
    const std::chrono::year_month_day date(std::chrono::year(*year),
                                           std::chrono::month(static_cast<unsigned>(*month)),
                                           std::chrono::day(static_cast<unsigned>(*day)));
    if (!date.ok()) return std::nullopt;
    return static_cast<double>(std::chrono::sys_days(date).time_since_epoch().count()) * 86'400.0;
}

/// The columns that are asked for.
struct Columns {
    std::optional<std::size_t> filename, start, duration;
};

Columns columns_of(const tables::Cells& cells) {
    Columns columns;
    const std::size_t width = cells.rows.empty() ? 0 : cells.rows.front().size();
    for (std::size_t n = 0; n < width; ++n) {
        const std::string_view heading = cells.at(0, n);
        if (heading == "filename") columns.filename = n;
        if (heading == "acq_time") columns.start = n;
        if (heading == "duration") columns.duration = n;
    }
    return columns;
}

/// One row of a table and where it stands.
struct Line {
    const tables::Cells& cells;
    std::string file;
    std::size_t row;

    /// Empty too where BIDS writes that there is nothing.
    [[nodiscard]] std::string_view at(std::optional<std::size_t> column) const {
        const std::string_view cell = column ? cells.at(row, *column) : std::string_view();
        return tables::is_blank_cell(cell) ? std::string_view() : cell;
    }
    [[nodiscard]] SourcePosition position(std::size_t column) const {
        return {file, static_cast<unsigned>(row + 1), static_cast<unsigned>(column + 1)};
    }
};

std::optional<Seconds> start_in(const Line& line, const Columns& columns,
                                files::ErrorList& errors) {
    const std::string_view cell = line.at(columns.start);
    if (cell.empty()) return std::nullopt;
    const auto start = parse_start(cell);
    if (!start) {
        errors.add({line.position(*columns.start),
                    fmt::format("acq_time is \"{}\"; accepted: a date with the time of day such as "
                                "2026-11-29T10:30:00, or n/a",
                                cell)});
    }
    return start;
}

std::optional<Seconds> duration_in(const Line& line, const Columns& columns,
                                   files::ErrorList& errors) {
    const std::string_view cell = line.at(columns.duration);
    if (cell.empty()) return std::nullopt;
    double seconds = 0.0;
    const char* end = cell.data() + cell.size();
    const auto [stop, failure] = std::from_chars(cell.data(), end, seconds);
    if (failure != std::errc() || stop != end || !(seconds > 0.0) ||
        !(seconds <= longest_run.count())) {
        errors.add({line.position(*columns.duration),
                    fmt::format("duration is \"{}\"; accepted: seconds, above 0 and at most {:g}, "
                                "or n/a",
                                cell, longest_run.count())});
        return std::nullopt;
    }
    return Seconds(seconds);
}

}  // namespace

std::optional<Seconds> parse_start(std::string_view text) {
    double date = 0.0;
    if (text.find('T') != text.npos) {
        const auto taken = take_date(text);
        if (!taken) return std::nullopt;
        date = *taken;
    }
    const auto hours = take(text, 2, ":");
    const auto minutes = take(text, 2, ":");
    // dcm2niix writes the first ten seconds of a minute with one digit.
    const bool one_digit = text.size() == 1 || (text.size() > 1 && text[1] == '.');
    const auto seconds = take(text, one_digit ? 1 : 2, "");
    if (!hours || !minutes || !seconds || *hours > 23 || *minutes > 59 || *seconds > 60)
        return std::nullopt;
    const auto fraction = take_fraction(text);
    const auto zone = fraction ? take_zone(text) : std::nullopt;
    if (!zone || !text.empty()) return std::nullopt;
    return Seconds(date + *hours * 3600.0 + *minutes * 60.0 + *seconds + *fraction - *zone);
}

std::map<std::string, ScansRow> read_scans_table(const FoundFile& table, files::TextInputs& inputs,
                                                 files::ErrorList& errors) {
    const auto decoded = tables::decoded_text(inputs.text(table.path, {table.path}), table.path);
    const tables::Cells cells = tables::cells_of(decoded.text, table.path, errors);
    std::map<std::string, ScansRow> rows;
    const Columns columns = columns_of(cells);
    if (!columns.filename) {
        errors.add({{table.path},
                    "there is no column filename; accepted: a table with tabs between its columns "
                    "filename, acq_time and duration"});
        return rows;
    }
    for (std::size_t n = 1; n < cells.rows.size(); ++n) {
        const Line line{cells, table.path, n};
        const std::string_view filename = line.at(columns.filename);
        if (filename.empty()) continue;
        const std::string file = stem_and_ending(filename).first;
        ScansRow row{start_in(line, columns, errors), duration_in(line, columns, errors),
                     table.path, filename.ends_with(".nii") || filename.ends_with(".nii.gz")};
        const std::string place = table.folder.empty() ? file : table.folder + '/' + file;
        if (!rows.emplace(place, std::move(row)).second) {
            errors.add({line.position(*columns.filename),
                        fmt::format("\"{}\" stands twice; accepted: each file once", filename)});
        }
    }
    return rows;
}

}  // namespace earbudget::bids
