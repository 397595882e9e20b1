#include "report/csv_field.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/study/visible_text.hpp"

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

}  // namespace

std::string csv_file_name(std::string_view name) {
    std::string text = visible_text(name);
    if (begins_formula(text)) text = "./" + text;
    // A semicolon parts cells where the comma is in numbers.
    if (text.find_first_of(",;\"") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + '"';
}

std::string csv_number(double value, int decimals) {
    return std::isfinite(value) ? decimal_text(value, decimals) : std::string();
}

}  // namespace earbudget::report
