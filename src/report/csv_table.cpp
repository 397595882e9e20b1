#include "report/csv_table.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "report/csv_field.hpp"

namespace earbudget::report {

namespace {

struct InCsv {
    std::string operator()(std::monostate /*nothing*/) const { return ""; }
    std::string operator()(bool flag) const { return flag ? "true" : "false"; }
    std::string operator()(double number) const {
        if (!std::isfinite(number)) return "";
        return number == 0.0 ? "0" : fmt::format("{}", number);  // not -0
    }
    std::string operator()(const std::string& text) const { return csv_text(text); }
};

}  // namespace

std::string csv_table(const std::vector<std::string_view>& headings,
                      const std::vector<std::vector<CsvCell>>& rows) {
    std::string text = fmt::format("{}\r\n", fmt::join(headings, ","));
    for (const auto& row : rows) {
        for (std::size_t n = 0; n < row.size(); ++n)
            text += (n == 0 ? "" : ",") + std::visit(InCsv(), row[n]);
        text += "\r\n";
    }
    const bool ascii =
        std::ranges::all_of(text, [](char c) { return static_cast<unsigned char>(c) < 0x80; });
    return ascii ? text : "\xEF\xBB\xBF" + text;
}

}  // namespace earbudget::report
