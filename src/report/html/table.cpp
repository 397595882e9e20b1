#include "report/html/table.hpp"

#include <utility>

#include <fmt/format.h>

#include "report/html/markup.hpp"

namespace earbudget::report::html {

Table::Table(std::string name, std::vector<Column> columns, std::string look)
    : name_(std::move(name)), columns_(std::move(columns)), look_(std::move(look)) {}

void Table::row(const std::vector<std::string>& cells, std::string_view css_class) {
    rows_ += css_class.empty() ? std::string("<tr>") : fmt::format("<tr class=\"{}\">", css_class);
    for (std::size_t n = 0; n < cells.size(); ++n) {
        const char* number = columns_[n].number ? " class=\"n\"" : "";
        rows_ += n == 0    ? fmt::format("<th scope=\"row\"{}>{}</th>", number, cells[n])
                 : folds() ? fmt::format("<td{} data-label=\"{}\"><div>{}</div></td>", number,
                                         escaped(columns_[n].title), cells[n])
                           : fmt::format("<td{}>{}</td>", number, cells[n]);
    }
    rows_ += "</tr>\n";
}

std::string Table::markup() const {
    std::string head;
    for (const Column& column : columns_)
        head += fmt::format("<th scope=\"col\"{}>{}</th>", column.number ? " class=\"n\"" : "",
                            text(column.title));
    return fmt::format(
        "<div class=\"wide{4}{5}\" role=\"region\" aria-label=\"{0}\" tabindex=\"0\">\n<table>\n"
        "<caption>{1}</caption>\n<thead>\n<tr>{2}</tr>\n</thead>\n<tbody>\n{3}</tbody>\n"
        "</table>\n</div>\n",
        escaped(name_), text(name_), head, rows_, folds() ? " fold" : "",
        look_.empty() ? "" : " " + look_);
}

}  // namespace earbudget::report::html
