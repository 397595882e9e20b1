#include "report/review_tables.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/decimal_text.hpp"
#include "earbudget/acoustics/duration_text.hpp"
#include "report/assess_words.hpp"
#include "report/display_width.hpp"
#include "report/words/accepted.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

constexpr std::size_t columns_of_a_table = 5;
constexpr std::size_t width_of_label = 17;
constexpr std::size_t width_of_cell = 14;

using Column = const PermittedByCriterion*;

/// Some criteria of a choice, as many as fit beside one another.
using Columns = std::span<const PermittedByCriterion>;

std::string row(std::string_view label, Columns columns,
                std::optional<PermittedTime> PermittedByCriterion::*which) {
    std::string text = "      " + at_left(label, width_of_label);
    for (const PermittedByCriterion& by : columns)
        text += fmt::format("{:>{}}", table_words(by.*which), width_of_cell);
    return text + '\n';
}

/// An id in parts that fit a column, broken after hyphens and blanks.
std::vector<std::string> in_column(const std::string& id) {
    std::vector<std::string> lines = {""};
    for (std::size_t start = 0; start < id.size();) {
        const std::size_t hyphen = id.find_first_of("- ", start);
        const std::size_t end = hyphen == std::string::npos ? id.size() : hyphen + 1;
        if (!lines.back().empty() &&
            width_of(lines.back() + id.substr(start, end - start)) >= width_of_cell)
            lines.emplace_back();
        lines.back() += id.substr(start, end - start);
        start = end;
    }
    return lines;
}

std::string heading(Columns columns) {
    std::string text;
    for (std::size_t n = 0;; ++n) {
        std::string line = fmt::format("      {:<{}}", "", width_of_label);
        bool any = false;
        for (const PermittedByCriterion& by : columns) {
            const auto lines = in_column(by.criterion->id);
            any = any || n < lines.size();
            line += at_right(n < lines.size() ? lines[n] : "", width_of_cell);
        }
        if (!any) return text;
        text += line.erase(line.find_last_not_of(' ') + 1) + '\n';
    }
}

std::string rows_of(const ReviewTerms& terms, const ReviewedChoice& choice, Columns columns) {
    std::string text = row("best estimate", columns, &PermittedByCriterion::best);
    text += row(fmt::format("{} over or less", percent_of_accepted(terms.policy)), columns,
                &PermittedByCriterion::confident);
    if (!choice.wears.empty())
        text += row("poorly seated", columns, &PermittedByCriterion::poorly_seated);
    return text;
}

std::string choice_block(const ReviewTerms& terms, const ReviewedChoice& choice,
                         const TextStyle& style, Columns all) {
    std::string text = wrapped(choice_words(terms, choice, style), 4, 6);
    if (choice.undecidable.empty()) {
        for (std::size_t first = 0; first < all.size(); first += columns_of_a_table) {
            const Columns some =
                all.subspan(first, std::min(columns_of_a_table, all.size() - first));
            if (first > 0) text += heading(some);
            text += rows_of(terms, choice, some);
        }
    }
    for (const std::string& note : texts_of(choice.notes))
        text += wrapped("- " + note, 6, 8);
    return text;
}

std::string level_line(std::string_view name, const std::optional<double>& level,
                       std::string_view unit) {
    return fmt::format(
        "    {:<8}{}\n", name,
        level ? fmt::format("{:>7} {}", decimal_text(*level, 1), unit) : "    not stated");
}

template <class L>
std::optional<double> number_dB(const std::optional<L>& level) {
    return level ? std::optional(level->dB()) : std::nullopt;
}

}  // namespace

std::string choice_words(const ReviewTerms& terms, const ReviewedChoice& choice,
                         const TextStyle& style) {
    std::string text = style.strong(worn_words(terms, choice));
    if (!choice.undecidable.empty())
        return text + ": cannot be decided, " + text_of(choice.undecidable);
    text += fmt::format(": {} at the ear", level_with_unit(choice.at_ear));
    if (choice.method) text += fmt::format(" by {}", name_of(*choice.method));
    if (choice.poorly_seated_at_ear)
        text += fmt::format(", {:.1f} dB(A) poorly seated", choice.poorly_seated_at_ear->dB());
    return text;
}

std::vector<PermittedByCriterion> tabled(const ReviewTerms& terms, const ReviewedChoice& choice) {
    std::vector<PermittedByCriterion> columns = choice.permitted;
    std::erase_if(columns, [&](const PermittedByCriterion& by) {
        return std::ranges::find(terms.for_others, by.criterion->id) != terms.for_others.end();
    });
    return columns;
}

std::string worn_words(const ReviewTerms& terms, const ReviewedChoice& choice) {
    if (choice.wears.empty()) return "nothing worn";
    std::string names;
    for (const std::string& id : choice.wears) {
        names += fmt::format("{}{} ({})", names.empty() ? "" : " under ",
                             terms.catalogue->find(id)->protector.title, id);
    }
    return names;
}

std::string table_words(const std::optional<PermittedTime>& time) {
    if (!time) return "not known";
    if (time->kind == PermittedTime::Kind::Unlimited) return "24 h or more";
    if (time->kind == PermittedTime::Kind::NoTime) return "none";
    // Rounded down, so that what is printed keeps the limit.
    const bool hours = time->a_day >= Hours(1);
    return text_of(hours ? Seconds(60.0 * std::floor(time->a_day.count() / 60.0)) : time->a_day);
}

std::string levels_table(const SoundLevels& levels) {
    std::string text = level_line("LAeq", levels.LAeq.dB(), "dB(A)");
    const auto LC = levels.c_weighted_level();
    text += level_line("LCeq", number_dB(LC), levels.LCeq ? "dB(C)" : "dB(C), of the octave bands");
    if (LC) text += level_line("LC − LA", c_minus_a(*LC, levels.LAeq).dB(), "dB");
    text += level_line("LCpeak", number_dB(levels.LCpeak), "dB(C)");
    text += level_line("LZpeak", number_dB(levels.LZpeak), "dB");
    std::string frequencies, values, weighted;
    const OctaveLevelsA with_A = levels.a_weighted_octaves();
    for (const OctaveBand band : octave_bands) {
        if (!with_A.has(band)) continue;
        frequencies += fmt::format("{:>7}", name_of(band));
        const auto level = levels.octave.at(band);
        values += fmt::format("{:>7}", level ? decimal_text(level->dB(), 1) : "-");
        weighted += fmt::format("{:>7}", decimal_text(with_A.at(band)->dB(), 1));
    }
    if (frequencies.empty()) return text + "    spectrum    not stated\n";
    if (levels.borrowed) {
        text += fmt::format("    spectrum    not measured: that of \"{}\", shifted to this LAeq\n",
                            levels.borrowed->card);
    }
    return text + fmt::format("    {:<8}{} Hz\n    {:<8}{} dB\n    {:<8}{} dB(A)\n", "octave",
                              frequencies, "Leq", values, "LAeq", weighted);
}

std::string permitted_table(const ReviewTerms& terms, const SequenceReview& review,
                            const TextStyle& style) {
    std::string text;
    const auto first = std::ranges::find_if(
        review.choices, [](const ReviewedChoice& choice) { return !choice.permitted.empty(); });
    if (first != review.choices.end()) {
        const auto columns = tabled(terms, *first);
        const Columns all = columns;
        text += heading(all.first(std::min(columns_of_a_table, all.size())));
    }
    for (const ReviewedChoice& choice : review.choices)
        text += choice_block(terms, choice, style, tabled(terms, choice));
    for (const std::string& why : texts_of(review.not_permitted))
        text += wrapped("not permitted, alone or with another: " + why, 4, 6);
    return text;
}

}  // namespace earbudget::report
