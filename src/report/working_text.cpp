#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "report/display_width.hpp"
#include "report/text_style.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

/// To a ten-thousandth, without zeros at the end; very large and very small ones to seven digits.
std::string number_text(double number) {
    const double size = std::abs(number);
    if (size >= 1e7 || (size > 0.0 && size < 0.01)) return fmt::format("{:.7g}", number);
    std::string text = fmt::format("{:.4f}", number + 0.0);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.ends_with('.')) text.pop_back();
    return text == "-0" ? "0" : text;
}

std::string values_line(const WorkingStep& step) {
    std::string text;
    for (const NamedValue& value : step.values)
        text += fmt::format("{}{} = {}", text.empty() ? "" : ", ", value.name,
                            value_words(value.value));
    return text.empty() ? "" : wrapped(text, 6, 8);
}

std::string table_lines(const WorkingStep& step) {
    std::vector<std::vector<std::string>> cells{step.columns};
    for (const auto& row : step.rows) {
        cells.emplace_back();
        for (const WorkingValue& value : row)
            cells.back().push_back(value_words(value));
    }
    std::vector<std::size_t> widths(step.columns.size(), 0);
    for (const auto& row : cells) {
        for (std::size_t n = 0; n < row.size(); ++n)
            widths[n] = std::max(widths[n], width_of(row[n]));
    }
    std::string text;
    for (const auto& row : cells) {
        std::string line = "     ";
        for (std::size_t n = 0; n < row.size(); ++n) {
            const std::string room(widths[n] - width_of(row[n]), ' ');
            line += n == 0 ? " " + row[n] + room : "  " + room + row[n];
        }
        text += line.substr(0, line.find_last_not_of(' ') + 1) + '\n';
    }
    return text;
}

std::string step_text(const WorkingStep& step) {
    std::string text = wrapped(step.what, 4, 6);
    text += wrapped(fmt::format("{}  [{}]", step.formula, step.source), 6, 8);
    text += values_line(step);
    if (!step.columns.empty()) text += table_lines(step);
    const std::string unit = step.unit.empty() || step.unit == "percent" ? "" : " " + step.unit;
    return text + fmt::format("      = {}{}{}\n", value_words(step.result), unit,
                              step.unit == "percent" ? " %" : "");
}

}  // namespace

std::string value_words(const WorkingValue& value) {
    if (const auto* number = std::get_if<double>(&value)) return number_text(*number);
    if (const auto* word = std::get_if<std::string>(&value)) return *word;
    return "none";
}

std::string working_text(const Working& working) {
    if (working.empty()) return "";
    std::string text = "\n  Working\n";
    for (const WorkingStep& step : working)
        text += step_text(step);
    return text;
}

}  // namespace earbudget::report
