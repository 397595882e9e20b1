#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/review/review.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/text_style.hpp"
#include "report/words/accepted.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

/// The permitted times that a table has as columns: of what is made for another age group there is
/// a sentence (age_sentences).
std::vector<PermittedByCriterion> tabled(const ReviewTerms& terms, const ReviewedChoice& choice) {
    std::vector<PermittedByCriterion> columns = choice.permitted;
    std::erase_if(columns, [&](const PermittedByCriterion& by) {
        return std::ranges::find(terms.for_others, by.criterion->id) != terms.for_others.end();
    });
    return columns;
}

/// What is worn with its level at the ear, or why that cannot be said.
std::string choice_words(const ReviewTerms& terms, const ReviewedChoice& choice) {
    std::string text = strong(choice.wears.empty() ? std::string("nothing worn")
                                                   : names_of(*terms.catalogue, choice.wears));
    if (!choice.undecidable.empty())
        return text + ": cannot be decided, " + text_of(choice.undecidable);
    text += fmt::format(": {} at the ear", level_with_unit(choice.at_ear));
    if (choice.method) text += fmt::format(" by {}", name_of(*choice.method));
    if (choice.poorly_seated_at_ear)
        text += fmt::format(", {:.1f} dB(A) poorly seated", choice.poorly_seated_at_ear->dB());
    return text;
}

using Which = std::optional<PermittedTime> PermittedByCriterion::*;

Row row_of(std::string name, const std::vector<PermittedByCriterion>& columns, Which which) {
    Row row{{Cell(std::move(name))}};
    for (const PermittedByCriterion& by : columns)
        row.cells.emplace_back(time_words(by.*which));
    return row;
}

/// One line a choice: what changed, criterion by criterion; empty where nothing did.
std::string choice_sentence(const std::string& worn, const std::vector<TimeChange>& changes,
                            std::size_t& next) {
    const auto& wears = changes[next].wears;
    std::string changed;
    for (; next < changes.size() && changes[next].wears == wears; ++next) {
        const TimeChange& change = changes[next];
        const std::string before = time_words(change.before);
        const std::string now = time_words(change.now);
        const std::string surely_before = time_words(change.confident_before);
        const std::string surely_now = time_words(change.confident_now);
        if (before == now && surely_before == surely_now) continue;
        changed += fmt::format(
            "{}{} {}", changed.empty() ? "" : "; ", change.criterion->id,
            before == now ? before + " as before" : fmt::format("{} before, {} now", before, now));
        if (surely_before != surely_now)
            changed += fmt::format(" (confidently {} before, {} now)", surely_before, surely_now);
    }
    return fmt::format("{}: {}", worn, changed.empty() ? "as before" : changed);
}

}  // namespace

std::string worn_words(const ReviewTerms& terms, const ReviewedChoice& choice) {
    return choice.wears.empty() ? "nothing worn" : short_names_of(*terms.catalogue, choice.wears);
}

std::string time_words(const std::optional<PermittedTime>& time) {
    if (!time) return "not known";
    if (time->kind == PermittedTime::Kind::Unlimited) return "24 h or more";
    if (time->kind == PermittedTime::Kind::NoTime) return "none";
    // Rounded down, so that what is printed keeps the limit.
    const bool hours = time->a_day >= Hours(1);
    return text_of(hours ? Seconds(60.0 * std::floor(time->a_day.count() / 60.0)) : time->a_day);
}

std::vector<Block> levels_blocks(const Sequence& sequence) {
    const SoundLevels& levels = sequence.levels;
    Table table{sequence.id + ": levels over one run",
                {{.key = "level", .title = "level"}, {"value", "value"}}};
    const auto add = [&](std::string name, const auto& value, std::string_view unit) {
        Cell cell = decibel_cell(value, "not stated");
        if (value) cell.unit = unit;
        table.rows.push_back({{std::move(name), std::move(cell)}});
    };
    add("LAeq", std::optional(levels.LAeq), "dB(A)");
    const auto LC = levels.c_weighted_level();
    add("LCeq", LC, levels.LCeq ? "dB(C)" : "dB(C), of the octave bands");
    if (LC) add("LC − LA", std::optional(c_minus_a(*LC, levels.LAeq)), "dB");
    add("LCpeak", levels.LCpeak, "dB(C)");
    add("LZpeak", levels.LZpeak, "dB");
    std::vector<Block> blocks = {{std::move(table)}};
    const OctaveLevelsA with_A = levels.a_weighted_octaves();
    if (with_A.empty()) {
        blocks.push_back({Paragraph{"spectrum not stated"}});
        return {{Beside{"pair", {std::move(blocks)}}}};
    }
    Table bands{.name = sequence.id + ": octave bands",
                .columns = {{"Hz", "octave band", "Hz"},
                            {"octave", "Leq", "dB"},
                            {"octave_A", "A-weighted", "dB(A)"}},
                .across = true};
    for (const OctaveBand band : octave_bands)
        if (with_A.has(band))
            bands.rows.push_back({{std::string(name_of(band)), decibel_cell(levels.octave.at(band)),
                                   decibel_cell(std::optional(*with_A.at(band)))}});
    blocks.push_back({std::move(bands)});
    blocks = {{Beside{"pair", {std::move(blocks)}}}};
    if (levels.borrowed)
        blocks.push_back(
            {Paragraph{fmt::format("spectrum not measured: that of \"{}\", shifted to this LAeq",
                                   levels.borrowed->card)}});
    return blocks;
}

std::vector<Block> permitted_blocks(const ReviewTerms& terms, const SequenceReview& review) {
    Table table{review.sequence.id + ": permitted time a day", {{.key = "wears", .title = "worn"}}};
    const auto first = std::ranges::find_if(
        review.choices, [](const ReviewedChoice& choice) { return !choice.permitted.empty(); });
    if (first != review.choices.end()) {
        for (const PermittedByCriterion& by : tabled(terms, *first))
            table.columns.push_back({"seconds_per_day", by.criterion->id});
    }
    for (const ReviewedChoice& choice : review.choices) {
        table.rows.push_back({{choice_words(terms, choice)}, texts_of(choice.notes)});
        if (!choice.undecidable.empty()) continue;
        const auto times = tabled(terms, choice);
        table.rows.push_back(row_of("best estimate", times, &PermittedByCriterion::best));
        table.rows.push_back(
            row_of(fmt::format("{} over or less", percent_of_accepted(terms.policy)), times,
                   &PermittedByCriterion::confident));
        if (!choice.wears.empty())
            table.rows.push_back(
                row_of("poorly seated", times, &PermittedByCriterion::poorly_seated));
    }
    std::vector<std::string> refused;
    for (const std::string& why : texts_of(review.not_permitted))
        refused.push_back("not permitted, alone or with another: " + why);
    return {{std::move(table)}, {sentences(refused)}};
}

std::vector<Block> difference_blocks(const ReviewTerms& terms, const ReviewedCard& now,
                                     const ReviewedCard& before) {
    Table table{now.review.sequence.id + ": levels before and now",
                {{.key = "level", .title = "level"},
                 {"before", "before", "dB"},
                 {"now", "now", "dB"},
                 {"change", "change", "dB"}}};
    for (const LevelChange& change : level_changes(before.review.sequence, now.review.sequence)) {
        const auto difference = change.difference();
        // No minus before a zero.
        const std::string by = !difference                    ? ""
                               : std::abs(*difference) < 0.05 ? "0.0"
                                                              : fmt::format("{:+.1f}", *difference);
        table.rows.push_back({{std::string(change.name), Cell(change.before, "not stated"),
                               Cell(change.now, "not stated"), by}});
    }
    std::vector<std::string> times;
    const auto changes = time_changes(before.review, now.review);
    for (std::size_t next = 0; next < changes.size();) {
        const auto& wears = changes[next].wears;
        const std::string worn =
            wears.empty() ? "nothing worn" : short_names_of(*terms.catalogue, wears);
        times.push_back(choice_sentence(worn, changes, next));
    }
    return {{Heading{"What changes"}},
            {Paragraph{fmt::format("Instead of {} ({}), {}, SHA-256 {}…",
                                   before.review.sequence.title, before.review.sequence.id,
                                   before.file.path, before.file.sha256.substr(0, 16))}},
            {std::move(table)},
            {Paragraph{"Permitted time a day, by the best estimate"}},
            {sentences(times)}};
}

}  // namespace earbudget::report
