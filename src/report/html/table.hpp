#pragma once

#include <string>

#include "report/document.hpp"

namespace earbudget::report::html {

/// A table with a caption and headers of columns and rows. On a narrow screen each row with more
/// than two values, and each of a step of the working, becomes a block, with the column's title
/// beside each value, so that nothing is cut; between, it stands in a region that scrolls by
/// itself, also by keyboard, and shows it by a shadow.
[[nodiscard]] std::string table_markup(const Table& table);

}  // namespace earbudget::report::html
