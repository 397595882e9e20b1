#include "report/html/parts.hpp"

#include <fmt/format.h>

#include "report/html/markup.hpp"
#include "report/html/table.hpp"
#include "report/working_report.hpp"

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
    const std::string unit = step.unit.empty()        ? ""
                             : step.unit == "percent" ? " %"
                                                      : " " + step.unit;
    return element("div", "step",
                   element("p", "<strong>" + text(what_of(step)) + "</strong>") +
                       element("p", "formula", text(step.formula)) +
                       element("p", "soft", text(step.source)) + values_line(step) +
                       rows_of(step, name) +
                       element("p", text("= " + result_words(step.result) + unit)));
}

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

std::string answer(Verdict verdict, std::string_view strong, std::string_view rest) {
    return fmt::format("<li class=\"{}\">{}<span class=\"word\">{}</span>{}</li>\n",
                       name_of(verdict), mark_of(verdict), text(strong),
                       rest.empty() ? "" : ": " + text(rest));
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

}  // namespace earbudget::report::html
