#pragma once

#include <string>
#include <string_view>

namespace earbudget::report {

/// The name of a file as a cell of comma-separated values, made visible_text and quoted where it
/// must be (RFC 4180, clause 2). A name that a spreadsheet would compute as a formula begins with
/// "./", which names the same file (own choice).
[[nodiscard]] std::string csv_file_name(std::string_view name);

/// A text as a cell, made visible_text and quoted where it must be. One that a spreadsheet would
/// compute as a formula has an apostrophe before it (own choice).
[[nodiscard]] std::string csv_text(std::string_view words);

/// A number with this many decimals: never -0, nothing for what is no number.
[[nodiscard]] std::string csv_number(double value, int decimals);

}  // namespace earbudget::report
