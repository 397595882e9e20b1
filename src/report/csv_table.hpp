#pragma once

#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace earbudget::report {

/// A cell of a table for spreadsheets: nothing, yes or no, a number, a text.
using CsvCell = std::variant<std::monostate, bool, double, std::string>;

/// A table for spreadsheets: comma-separated values (RFC 4180) with a row of headings, which end
/// with the unit of their numbers, and CR LF at the end of each row. Where a character is not of
/// ASCII a byte order mark stands before it, by which spreadsheets know UTF-8 (own choice).
/// Numbers are written to the last digit that tells them apart, with a decimal point; true and
/// false in those words. A text that a spreadsheet would compute as a formula has an apostrophe
/// before it; all texts are visible_text.
[[nodiscard]] std::string csv_table(const std::vector<std::string_view>& headings,
                                    const std::vector<std::vector<CsvCell>>& rows);

// Tables of reports, from their JSON: each figure is the same.

/// A row a person and criterion; somebody without criteria has one row.
[[nodiscard]] std::string assess_csv(std::string_view json);
/// A row a person and thing worn, best first; somebody for whom there is none has one row.
[[nodiscard]] std::string choose_csv(std::string_view json);
/// A row a sequence, thing worn and criterion.
[[nodiscard]] std::string review_csv(std::string_view json);
/// A row a protector, or pair, and rating that is stated or computed.
[[nodiscard]] std::string ratings_csv(std::string_view json);
/// A row a card; without any, one of empty cells.
[[nodiscard]] std::string cards_csv(std::string_view json);

}  // namespace earbudget::report
