#include "report/assess_tables.hpp"

#include <algorithm>
#include <iterator>
#include <string_view>

#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/display_width.hpp"
#include "report/text_style.hpp"
#include "report/uncertainty_sentences.hpp"

namespace earbudget::report {

std::string segment_name(const Plan& plan, const Person& person, const HeardRow& row) {
    const Task* task = row.task ? &person.tasks[*row.task] : nullptr;
    std::string what = row.sequence ? plan.sequences[*row.sequence].id
                       : !task      ? "rest"
                                    : "background";
    if (task && task->levels) what = task->title.empty() ? "other noise" : task->title;
    if (row.position) what = fmt::format("{}, {}", plan.positions[*row.position].id, what);
    if (row.position && task && task->door_open) what += ", door open";
    return row.once_a_day ? what + " (once a day)" : what;
}

namespace {

/// Of every line.
std::string without_trailing_blanks(std::string_view table) {
    std::string text;
    while (!table.empty()) {
        const std::string_view line = table.substr(0, table.find('\n'));
        text += std::string(line.substr(0, line.find_last_not_of(' ') + 1)) + '\n';
        table.remove_prefix(std::min(table.size(), line.size() + 1));
    }
    return text;
}

}  // namespace

std::string criteria_table(const PersonResult& person) {
    if (person.criteria.empty()) return "";
    std::size_t id_width = 14;
    std::size_t quantity_width = 7;
    for (const CriterionResult& result : person.criteria) {
        id_width = std::max(id_width, width_of(result.criterion->id));
        quantity_width = std::max(quantity_width, width_of(quantity_text(result)));
    }
    const auto line = [&](std::string_view id, std::string_view quantity, const auto&... cells) {
        return fmt::format("  {}  {}  {:>13}{:>13}{:>15}{:>10}{:>13}  {}\n", at_left(id, id_width),
                           at_left(quantity, quantity_width), cells...);
    };
    std::string text =
        line("criterion", "of", "value", "limit", "margin", "P(over)", "95 % within", "where");
    for (const CriterionResult& result : person.criteria) {
        text += line(result.criterion->id, quantity_text(result), value_text(result),
                     limit_text(result), margin_text(result), probability_text(result),
                     not_exceeded_text(result), result.at_ear ? "at the ear" : "outside");
        const std::string apart = why_apart(person, result);
        if (!apart.empty()) text += wrapped(apart, 6, 6);
    }
    return text;
}

std::string segment_table(const Plan& plan, const PersonResult& person) {
    std::size_t width = 26;
    std::vector<std::string> names;
    for (const SegmentResult& segment : person.segments) {
        names.push_back(segment_name(plan, *person.person, segment.row));
        width = std::max(width, width_of(names.back()));
    }
    fmt::memory_buffer text;
    const auto add_line = [&](std::string_view name, const auto&... cells) {
        fmt::format_to(fmt::appender(text), "  {}  {:>14}{:>11}{:>11}{:>12}{:>10}{:>11}{:>10}\n",
                       at_left(name, width), cells...);
    };
    add_line("in one session", "time", "outside", "reduction", "at the ear", "share of",
             "more runs", "by best");
    add_line("", "", "dB(A)", "dB", "dB(A)", "energy", "that fit", "estimate");
    for (std::size_t i = 0; i < names.size(); ++i) {
        const SegmentResult& segment = person.segments[i];
        const bool sounds = segment.row.sound != nullptr;
        add_line(names[i], table_time(segment.row.time),
                 sounds ? level_text(segment.row.outside()) : "no sound",
                 sounds ? fmt::format("{:.1f}", segment.reduction.dB()) : "",
                 sounds ? level_text(segment.row.at_ear) : "", percent_text(segment.share_percent),
                 runs_text(segment.repeats_left), runs_text(segment.repeats_left_best_estimate));
    }
    return without_trailing_blanks(fmt::to_string(text));
}

}  // namespace earbudget::report
