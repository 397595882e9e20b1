#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace earbudget::report::html {

struct Column {
    std::string title;    ///< text
    bool number = false;  ///< right-aligned
};

/// A table with a caption and headers of columns and rows. On a narrow screen each row with more
/// than two values, and each of a step of the working, becomes a block, with the column's title
/// beside each value, so that nothing is cut; between, it stands in a region that scrolls by
/// itself, also by keyboard, and shows it by a shadow.
class Table {
  public:
    /// `name` is text and unique on the page; `look` is a class of the style sheet.
    Table(std::string name, std::vector<Column> columns, std::string look = {});

    /// Cells are markup; the first is the row's header.
    void row(const std::vector<std::string>& cells, std::string_view css_class = "");

    [[nodiscard]] std::string markup() const;

  private:
    [[nodiscard]] bool folds() const { return columns_.size() > 3 || look_ == "worked"; }

    std::string name_;
    std::vector<Column> columns_;
    std::string look_;
    std::string rows_;
};

}  // namespace earbudget::report::html
