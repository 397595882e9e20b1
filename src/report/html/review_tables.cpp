#include "report/html/review_tables.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/decimal_text.hpp"
#include "earbudget/review/compare_cards.hpp"
#include "report/html/markup.hpp"
#include "report/html/table.hpp"
#include "report/review_tables.hpp"
#include "report/words/accepted.hpp"

namespace earbudget::report::html {

namespace {

template <class L>
std::string level(const std::optional<L>& value, std::string_view unit) {
    return value ? decimal_text(value->dB(), 1) + " " + std::string(unit)
                 : std::string("not stated");
}

std::string bands_table(const Sequence& sequence) {
    const OctaveLevelsA with_A = sequence.levels.a_weighted_octaves();
    if (with_A.empty()) return element("p", "spectrum not stated");
    Table table(sequence.id + ": octave bands",
                {{"octave band, Hz"}, {"Leq, dB", true}, {"A-weighted, dB(A)", true}});
    for (const OctaveBand band : octave_bands) {
        if (!with_A.has(band)) continue;
        const auto unweighted = sequence.levels.octave.at(band);
        table.row({std::string(name_of(band)), unweighted ? decimal_text(unweighted->dB(), 1) : "–",
                   decimal_text(with_A.at(band)->dB(), 1)});
    }
    return table.markup();
}

using Which = std::optional<PermittedTime> PermittedByCriterion::*;

void add_row(std::string_view name, const std::vector<PermittedByCriterion>& columns, Which which,
             Table& table) {
    std::vector<std::string> cells{text(name)};
    for (const PermittedByCriterion& by : columns)
        cells.push_back(table_words(by.*which));
    table.row(cells);
}

}  // namespace

std::string levels_tables(const Sequence& sequence) {
    const SoundLevels& levels = sequence.levels;
    Table table(sequence.id + ": levels over one run", {{"level"}, {"value", true}});
    table.row({"LAeq", level(std::optional(levels.LAeq), "dB(A)")});
    const auto LC = levels.c_weighted_level();
    table.row({"LCeq", level(LC, levels.LCeq ? "dB(C)" : "dB(C), of the octave bands")});
    if (LC) table.row({"LC − LA", level(std::optional(c_minus_a(*LC, levels.LAeq)), "dB")});
    table.row({"LCpeak", level(levels.LCpeak, "dB(C)")});
    table.row({"LZpeak", level(levels.LZpeak, "dB")});
    return element("div", "pair", "\n" + table.markup() + bands_table(sequence));
}

std::string permitted_times_table(const ReviewTerms& terms, const SequenceReview& review) {
    const auto first = std::ranges::find_if(
        review.choices, [](const ReviewedChoice& choice) { return !choice.permitted.empty(); });
    if (first == review.choices.end()) return "";
    std::vector<Column> columns = {{"worn"}};
    for (const PermittedByCriterion& by : tabled(terms, *first))
        columns.push_back({by.criterion->id, true});
    Table table(review.sequence.id + ": permitted time a day", std::move(columns));
    for (const ReviewedChoice& choice : review.choices) {
        if (!choice.undecidable.empty()) continue;
        const std::string worn = worn_words(terms, choice);
        const auto times = tabled(terms, choice);
        add_row(worn + ", best estimate", times, &PermittedByCriterion::best, table);
        add_row(fmt::format("over with {} or less", percent_of_accepted(terms.policy)), times,
                &PermittedByCriterion::confident, table);
        if (!choice.wears.empty())
            add_row("poorly seated", times, &PermittedByCriterion::poorly_seated, table);
    }
    return table.markup();
}

std::string level_changes_table(const ReviewedCard& now, const ReviewedCard& before) {
    const auto side = [](const std::optional<double>& value) {
        return value ? decimal_text(*value, 1) : std::string("not stated");
    };
    Table table(now.review.sequence.id + ": levels before and now, dB",
                {{"level"}, {"before", true}, {"now", true}, {"change", true}});
    for (const LevelChange& change : level_changes(before.review.sequence, now.review.sequence)) {
        const auto difference = change.difference();
        // No minus before a zero.
        const std::string by = !difference                    ? ""
                               : std::abs(*difference) < 0.05 ? "0.0"
                                                              : fmt::format("{:+.1f}", *difference);
        table.row({text(change.name), side(change.before), side(change.now), by});
    }
    return table.markup();
}

}  // namespace earbudget::report::html
