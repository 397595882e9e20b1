#include <fmt/format.h>

#include "report/document.hpp"
#include "report/html/markup.hpp"
#include "report/working.hpp"

namespace earbudget::report::html {

namespace {

std::string values_line(const WorkingStep& step) {
    std::string words;
    for (const NamedValue& value : step.values)
        words += fmt::format("{}{} = {}", words.empty() ? "" : ", ", value.name,
                             value_words(value.value));
    return words.empty() ? "" : element("p", text(words));
}

std::string rows_of(const WorkingStep& step, const std::string& name) {
    if (step.columns.empty()) return "";
    Table table{.name = name, .columns = {}, .look = "worked"};
    for (const std::string& title : step.columns)
        table.columns.push_back({title, title});
    for (const auto& values : step.rows) {
        Row row;
        for (std::size_t n = 0; n < values.size(); ++n)
            row.cells.emplace_back(cell_words(step, n, values[n]));
        table.rows.push_back(std::move(row));
    }
    return table_markup(table);
}

std::string step_block(const WorkingStep& step, const std::string& name) {
    return element("div", "step",
                   element("p", "<strong>" + text(what_of(step)) + "</strong>") +
                       element("p", "formula", text(step.formula)) +
                       element("p", "soft", text(step.source)) + values_line(step) +
                       rows_of(step, name) + element("p", text("= " + result_with_unit(step))));
}

class TableMarkup {
  public:
    explicit TableMarkup(const Table& table)
        : table_(table),
          has_notes_(!table.notes_title.empty()),
          folds_(table.columns.size() + (has_notes_ ? 1 : 0) > 3 || table.look == "worked") {}

    [[nodiscard]] std::string markup() const {
        std::string rows;
        for (const Row& row : table_.rows)
            rows += row.cells.size() == 1 ? heading(row) : row_markup(row);
        return fmt::format(
            "<div class=\"wide{4}{5}\" role=\"region\" aria-label=\"{0}\" tabindex=\"0\">\n"
            "<table>\n<caption>{1}</caption>\n<thead>\n<tr>{2}</tr>\n</thead>\n<tbody>\n{3}"
            "</tbody>\n</table>\n</div>\n",
            escaped(table_.name), text(table_.name), head(), rows, folds_ ? " fold" : "",
            table_.look.empty() ? "" : " " + table_.look);
    }

  private:
    static std::string_view class_of(const Column& column) {
        return column.number ? " class=\"n\"" : "";
    }

    [[nodiscard]] std::string head() const {
        std::string markup;
        for (std::size_t n = 0; n < table_.columns.size(); ++n) {
            const Column& column = table_.columns[n];
            const std::string title = column.whole_title();
            // What heads nothing is no head.
            markup += title.empty() ? std::string("<td></td>")
                                    : fmt::format("<th scope=\"col\"{}>{}</th>",
                                                  n == 0 ? "" : class_of(column), text(title));
        }
        if (has_notes_) markup += "<th scope=\"col\">" + text(table_.notes_title) + "</th>";
        return markup;
    }

    [[nodiscard]] std::string heading(const Row& row) const {
        return fmt::format("<tr class=\"group\"><td colspan=\"{}\">{}{}</td></tr>\n",
                           table_.columns.size() + (has_notes_ ? 1 : 0), text(row.cells[0].words),
                           list_of(row.notes));
    }

    [[nodiscard]] std::string value(std::string_view look, std::string_view title,
                                    std::string_view markup) const {
        if (!folds_) return fmt::format("<td{}>{}</td>", look, markup);
        return fmt::format("<td{} data-label=\"{}\"><div>{}</div></td>", look, escaped(title),
                           markup);
    }

    [[nodiscard]] std::string row_markup(const Row& row) const {
        std::string markup = row.verdict ? fmt::format("<tr class=\"{}\">", name_of(*row.verdict))
                                         : std::string("<tr>");
        for (std::size_t n = 0; n < row.cells.size(); ++n) {
            const Column& column = table_.columns[n];
            const std::string words = words_of(row.cells[n], column);
            std::string cell = words.empty() ? "" : text(words);
            if (const std::string& link = row.cells[n].link; !link.empty())
                cell = fmt::format("<a href=\"{}{}\">{}</a>", link.starts_with('/') ? "" : "#",
                                   escaped(link), cell);
            const bool last = n + 1 == row.cells.size();
            if (last && !has_notes_ && !row.notes.empty())
                cell += ": " + text(fmt::format("{}", fmt::join(row.notes, "; ")));
            const std::string_view head = cell.empty() ? "td" : "th scope=\"row\"";
            markup += n == 0 ? fmt::format("<{}>{}</{}>", head, cell, head.substr(0, 2))
                             : value(class_of(column), column.whole_title(), cell);
        }
        if (has_notes_) markup += value("", table_.notes_title, list_of(row.notes));
        return markup + "</tr>\n";
    }

    const Table& table_;
    bool has_notes_;
    bool folds_;
};

}  // namespace

std::string mark_of(Verdict verdict) {
    return fmt::format("<span class=\"shape {}\" aria-hidden=\"true\"></span>", name_of(verdict));
}

std::string marks_key(const std::array<std::string_view, 4>& words) {
    constexpr std::array verdicts = {Verdict::Within, Verdict::Close, Verdict::Unknown,
                                     Verdict::Over};
    std::string items;
    for (std::size_t n = 0; n < words.size(); ++n) {
        if (words[n].empty()) continue;
        items += fmt::format("<li class=\"{}\">{} {}</li>\n", name_of(verdicts[n]),
                             mark_of(verdicts[n]), escaped(words[n]));
    }
    return "<ul class=\"key\" aria-label=\"What the marks stand for\">\n" + items + "</ul>\n";
}

std::string answer(Verdict verdict, std::string_view strong, std::string_view rest,
                   const std::vector<std::string>& under) {
    return fmt::format("<li class=\"{}\">{}<span class=\"word\">{}</span>{}{}</li>\n",
                       name_of(verdict), mark_of(verdict), text(strong),
                       rest.empty() ? "" : ": " + text(rest), list_of(under, "under"));
}

std::string answer_line(Verdict verdict, std::string_view markup) {
    return fmt::format("<p class=\"answer {}\">{}{}</p>\n", name_of(verdict), mark_of(verdict),
                       markup);
}

std::string working_block(std::string_view of, const Working& working) {
    if (working.empty()) return "";
    std::string steps;
    for (std::size_t n = 0; n < working.size(); ++n)
        steps +=
            step_block(working[n], fmt::format("{}: step {}, {}", of, n + 1, what_of(working[n])));
    return fmt::format("<details open>\n<summary>Working of {}</summary>\n{}</details>\n", text(of),
                       steps);
}

std::string table_markup(const Table& table) { return TableMarkup(table).markup(); }

}  // namespace earbudget::report::html
