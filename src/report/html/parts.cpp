#include "report/html/parts.hpp"

#include <fmt/format.h>

#include "report/cautions.hpp"
#include "report/html/markup.hpp"
#include "report/html/table.hpp"
#include "report/version.hpp"
#include "report/words/words.hpp"
#include "report/working_report.hpp"

namespace earbudget::report::html {

namespace {

std::string term(std::string_view name, std::string_view markup) {
    return fmt::format("<dt>{}</dt><dd>{}</dd>\n", text(name), markup);
}

std::string sources(std::string_view kind, const std::vector<NamedSource>& sources) {
    std::string terms;
    for (const NamedSource& source : sources)
        terms += term(fmt::format("{} {}", kind, source.id), text(source.source));
    return terms;
}

std::string values_line(const WorkingStep& step) {
    std::string words;
    for (const NamedValue& value : step.values)
        words += fmt::format("{}{} = {}", words.empty() ? "" : ", ", value.name,
                             value_words(value.value));
    return words.empty() ? "" : element("p", text(words));
}

std::string rows_of(const WorkingStep& step, const std::string& name) {
    if (step.columns.empty()) return "";
    std::vector<Column> columns;
    for (std::size_t n = 0; n < step.columns.size(); ++n)
        columns.push_back({step.columns[n], n > 0});
    Table table(name, std::move(columns), "worked");
    for (const auto& row : step.rows) {
        std::vector<std::string> cells;
        for (std::size_t n = 0; n < row.size(); ++n)
            cells.push_back(text(cell_words(step, n, row[n])));
        table.row(cells);
    }
    return table.markup();
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

std::string short_cautions() {
    std::string lines;
    for (const std::string_view caution : cautions)
        lines += fmt::format("{}{}", lines.empty() ? "" : " ", caution);
    return element("div", "care", element("p", "<strong>Read with care.</strong> " + text(lines)));
}

std::string record_section(const Record& record, const RulesUsed& rules) {
    std::string terms = term("program", text(fmt::format("earbudget {}", program_version())));
    terms += term("date", text(record.date));
    if (record.draws) {
        terms += term("probabilities", text(draws_words(record)));
    }
    terms += sources("method", rules.methods) + sources("derating", rules.deratings) +
             sources("criterion", rules.criteria);
    std::string files;
    for (const SourceFile& file : record.inputs)
        files += term(file.path, "<span class=\"hash\">" + escaped(file.sha256) + "</span>");
    files += term("fingerprint of all files read: " + fingerprint_in_fours(record),
                  "<span class=\"hash\">" + escaped(record.fingerprint) + "</span>");
    return section("record", 2, "Sources and record",
                   "<dl class=\"record terms\">\n" + terms + "</dl>\n" +
                       element("h3", "Files read, with their SHA-256") + "<dl class=\"record\">\n" +
                       files + "</dl>\n");
}

std::string cautions_section(const std::vector<std::string>& more) {
    std::vector<std::string> all = more;
    all.insert(all.end(), cautions.begin(), cautions.end());
    return section("cautions", 2, "Cautions", list_of(all));
}

std::string working_block(std::string_view of, const Working& working) {
    if (working.empty()) return "";
    std::string steps;
    for (std::size_t n = 0; n < working.size(); ++n)
        steps += step_block(working[n], fmt::format("{}: step {}, {}", of, n + 1,
                                                    what_of(working[n])));
    return fmt::format("<details open>\n<summary>Working of {}</summary>\n{}</details>\n", text(of),
                       steps);
}

std::string foot(const Record& record) {
    return element("p", "soft",
                   text(fmt::format("earbudget {}, {}", program_version(), record.date)));
}

}  // namespace earbudget::report::html
