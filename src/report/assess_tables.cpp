#include "report/assess_tables.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

std::string segment_name(const Plan& plan, const HeardRow& row) {
    std::string name = row.sequence ? plan.sequences[*row.sequence].id : "rest";
    if (row.position) {
        name = fmt::format("{}, {}", plan.positions[*row.position].id,
                           row.sequence ? name : "background");
    }
    return name;
}

}  // namespace

std::string criteria_table(const PersonResult& person) {
    if (person.criteria.empty()) return "";
    std::size_t id_width = 14;
    std::size_t quantity_width = 7;
    for (const CriterionResult& result : person.criteria) {
        id_width = std::max(id_width, result.criterion->id.size());
        quantity_width = std::max(quantity_width, quantity_text(result).size());
    }
    const auto line = [&](const auto&... cells) {
        return fmt::format("  {:<{}}  {:<{}}  {:>13}{:>13}{:>15}{:>18}  {}\n", cells...);
    };
    std::string text = line("criterion", id_width, "of", quantity_width, "value", "limit", "margin",
                            "probability over", "where");
    for (const CriterionResult& result : person.criteria) {
        text += line(result.criterion->id, id_width, quantity_text(result), quantity_width,
                     value_text(result), limit_text(result), margin_text(result),
                     probability_text(result), result.at_ear ? "at the ear" : "outside");
    }
    return text;
}

std::string segment_table(const Plan& plan, const PersonResult& person) {
    std::string text = fmt::format("  {:<28}{:>14}{:>12}{:>12}{:>12}{:>12}\n", "in one session",
                                   "time", "outside", "reduction", "at the ear", "share of");
    text += fmt::format("  {:<28}{:>14}{:>12}{:>12}{:>12}{:>12}\n", "", "", "dB(A)", "dB", "dB(A)",
                        "energy");
    for (const SegmentResult& segment : person.segments) {
        const bool sounds = segment.row.sound.has_value();
        text += fmt::format(
            "  {:<28}{:>14}{:>12}{:>12}{:>12}{:>12}\n", segment_name(plan, segment.row),
            table_time(segment.row.time), sounds ? level_text(segment.row.outside()) : "no sound",
            sounds ? fmt::format("{:.1f}", segment.reduction.dB()) : "",
            sounds ? level_text(segment.row.at_ear) : "", percent_text(segment.share_percent));
    }
    return text;
}

}  // namespace earbudget::report
