#include "report/working.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include <fmt/format.h>

#include "report/record.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

using Ids = std::vector<std::string>;

bool holds(const Ids& ids, const std::string& id) {
    return std::ranges::find(ids, id) != ids.end();
}

bool are_about(const WorkingStep& step, const Ids& topics) {
    return std::ranges::any_of(step.about,
                               [&](const std::string& id) { return holds(topics, id); });
}

}  // namespace

WorkingFor WorkingFor::of(const Ids& ids, const Ids& people, const Ids& topics) {
    WorkingFor wanted;
    for (const std::string& id : ids) {
        const bool is_person = holds(people, id);
        Ids& list = !is_person ? wanted.topics : holds(topics, id) ? wanted.both : wanted.people;
        if (!holds(list, id)) list.push_back(id);
    }
    return wanted;
}

bool WorkingFor::names(const std::string& person) const {
    return holds(people, person) || holds(both, person);
}

bool WorkingFor::wants(const std::string& person) const {
    // An id that is both may be meant as no person.
    return people.empty() || names(person);
}

Working WorkingFor::of_person(const std::string& person, const Working& working) const {
    const bool named = holds(people, person);
    const bool nobody_named = people.empty();
    Working asked;
    std::ranges::copy_if(working, std::back_inserter(asked), [&](const WorkingStep& step) {
        // Those that are both as people, then as what the step is about.
        const bool as_people = (nobody_named && both.empty()) || names(person);
        const bool about = topics.empty() || are_about(step, topics);
        const bool as_topics = !both.empty() && (nobody_named || named) &&
                               (are_about(step, both) || are_about(step, topics));
        return (as_people && about) || as_topics;
    });
    return asked;
}

Working asked_working(const Record& record, const Ids& ids, const Working& whole) {
    const WorkingFor& asked = record.working_for;
    const auto named =
        std::ranges::find_if(ids, [&](const std::string& id) { return asked.names(id); });
    const std::string& id = named == ids.end() ? ids.front() : *named;
    if (!record.with_working || !asked.wants(id)) return {};
    return asked.of_person(id, whole);
}

Working asked_working(const Record& record, const Ids& ids,
                      const std::shared_ptr<const Working>& whole) {
    return whole ? asked_working(record, ids, *whole) : Working();
}

namespace {

/// Without zeros at the end.
std::string with_decimals(double number, int decimals) {
    std::string text = fmt::format("{:.{}f}", number + 0.0, decimals);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.ends_with('.')) text.pop_back();
    return text == "-0" ? "0" : text;
}

/// To a ten-thousandth; very large ones to seven digits, small ones to five, so many that what is
/// put in decides each.
std::string result_text(double number) {
    const double size = std::abs(number);
    constexpr double smallest_difference = 1e-9;  // of two inputs with twelve digits
    if (size >= 1e7) return fmt::format("{:.7g}", number);
    if (size >= 0.01 || size < smallest_difference) return with_decimals(number, 4);
    return with_decimals(number, std::min(8, 4 - static_cast<int>(std::floor(std::log10(size)))));
}

/// With twelve digits.
std::string input_text(double number) {
    std::string text = fmt::format("{:.12g}", number + 0.0);
    return text == "-0" ? "0" : text;
}

template <class NumberText>
std::string text_by(const WorkingValue& value, const NumberText& number_text) {
    if (const auto* number = std::get_if<double>(&value)) return number_text(*number);
    if (const auto* word = std::get_if<std::string>(&value)) return *word;
    if (const auto* says = std::get_if<Message>(&value)) return text_of(*says);
    return "none";
}

std::string values_line(const WorkingStep& step) {
    std::string text;
    for (const NamedValue& value : step.values)
        text += fmt::format("{}{} = {}", text.empty() ? "" : ", ", value.name,
                            value_words(value.value));
    return text.empty() ? "" : wrapped(text, 6, 8);
}

std::string table_lines(const WorkingStep& step) {
    std::vector<std::vector<std::string>> cells{step.columns};
    for (const auto& row : step.rows) {
        cells.emplace_back();
        for (std::size_t n = 0; n < row.size(); ++n)
            cells.back().push_back(cell_words(step, n, row[n]));
    }
    std::vector<std::size_t> widths(step.columns.size(), 0);
    for (const auto& row : cells) {
        for (std::size_t n = 0; n < row.size(); ++n)
            widths[n] = std::max(widths[n], width_of(row[n]));
    }
    std::string text;
    for (const auto& row : cells) {
        std::string line = "     ";
        for (std::size_t n = 0; n < row.size(); ++n) {
            const std::string room(widths[n] - width_of(row[n]), ' ');
            line += n == 0 ? " " + row[n] + room : "  " + room + row[n];
        }
        text += line.substr(0, line.find_last_not_of(' ') + 1) + '\n';
    }
    return text;
}

std::string step_text(const WorkingStep& step) {
    std::string text = wrapped(what_of(step), 4, 6);
    text += wrapped(fmt::format("{}  [{}]", step.formula, step.source), 6, 8);
    text += values_line(step);
    if (!step.columns.empty()) text += table_lines(step);
    return text + fmt::format("      = {}\n", result_with_unit(step));
}

}  // namespace

std::string what_of(const WorkingStep& step) { return text_of(step.what); }

std::string value_words(const WorkingValue& value) { return text_by(value, input_text); }

std::string result_words(const WorkingValue& value) { return text_by(value, result_text); }

std::string result_with_unit(const WorkingStep& step) {
    const bool is_number = std::holds_alternative<double>(step.result);
    const std::string unit = !is_number || step.unit.empty() ? ""
                             : step.unit == "percent"        ? " %"
                                                             : " " + step.unit;
    return result_words(step.result) + unit;
}

std::string cell_words(const WorkingStep& step, std::size_t column, const WorkingValue& value) {
    const auto& worked = step.worked_columns;
    const bool follows = std::ranges::find(worked, step.columns[column]) != worked.end();
    return follows ? result_words(value) : value_words(value);
}

std::string working_text(std::string_view of, const Working& working) {
    if (working.empty()) return "";
    std::string text = '\n' + wrapped(fmt::format("Working of {}", of), 2, 4);
    for (const WorkingStep& step : working)
        text += step_text(step);
    return text;
}

}  // namespace earbudget::report
