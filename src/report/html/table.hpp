#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace earbudget::report::html {

struct Column {
    std::string title;    ///< text
    bool number = false;  ///< right-aligned
};

/// A table with a caption and headers of columns and rows, in a region that scrolls by itself, also
/// by keyboard, where the screen is narrower.
class Table {
  public:
    /// `name` is text and unique on the page.
    Table(std::string name, std::vector<Column> columns);

    /// Cells are markup; the first is the row's header.
    void row(const std::vector<std::string>& cells, std::string_view css_class = "");

    [[nodiscard]] std::string markup() const;

  private:
    std::string name_;
    std::vector<Column> columns_;
    std::string rows_;
};

}  // namespace earbudget::report::html
