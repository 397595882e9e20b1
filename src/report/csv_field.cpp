#include "report/csv_field.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/study/visible_text.hpp"
#include "report/reports.hpp"

namespace earbudget::report {

namespace {

/// With what spreadsheets may begin a formula, after blanks and quotes that they may drop: the last
/// four are the forms of East Asian width. (Tabs and line breaks are seen characters by then.)
bool begins_formula(std::string_view text) {
    constexpr std::array<std::string_view, 8> signs = {"=", "+", "-", "@", "＝", "＋", "－", "＠"};
    text.remove_prefix(std::min(text.find_first_not_of(" \"'"), text.size()));
    return std::ranges::any_of(signs,
                               [text](std::string_view sign) { return text.starts_with(sign); });
}

std::string quoted_where_needed(const std::string& text) {
    // A semicolon parts cells where the comma is in numbers.
    if (text.find_first_of(",;\"") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + '"';
}

}  // namespace

std::string csv_file_name(std::string_view name) {
    const std::string text = visible_text(name);
    return quoted_where_needed(begins_formula(text) ? "./" + text : text);
}

std::string csv_text(std::string_view words) {
    const std::string text = visible_text(words);
    return quoted_where_needed(begins_formula(text) ? "'" + text : text);
}

std::string csv_number(double value, int decimals) {
    return std::isfinite(value) ? decimal_text(value, decimals) : std::string();
}

std::string measure_history(const std::vector<RecordingReport>& recordings) {
    std::string text = "file,channel,start_s,seconds,LAeq_dB\r\n";
    for (const RecordingReport& recording : recordings) {
        const std::string file = csv_file_name(recording.file.path);
        const double from = recording.from.value_or(Seconds(0.0)).count();
        for (const MeasuredChannel& channel : recording.measured.channels) {
            const auto& seconds = channel.levels.seconds;
            for (std::size_t n = 0; n < seconds.size(); ++n) {
                const bool last = n + 1 == seconds.size();
                const double length = last ? channel.levels.last_second.count() : 1.0;
                const std::string level =
                    seconds[n] ? csv_number(seconds[n]->dB(), 3) : std::string();
                text += fmt::format("{},{},{:.10g},{:.10g},{}\r\n", file, channel.number,
                                    from + static_cast<double>(n), length, level);
            }
        }
    }
    return text;
}

}  // namespace earbudget::report
