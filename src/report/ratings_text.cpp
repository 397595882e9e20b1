#include <fmt/format.h>

#include "earbudget/study/visible_text.hpp"
#include "report/display_width.hpp"
#include "report/ratings_cautions.hpp"
#include "report/ratings_report.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using Checks = std::vector<const CheckedRatings*>;

Checks all_of(const RatingsCheck& check) {
    Checks checks;
    for (const auto* list : {&check.protectors, &check.pairs}) {
        for (const CheckedRatings& checked : *list)
            checks.push_back(&checked);
    }
    return checks;
}

std::string name_of(const CheckedRatings& checked) {
    return fmt::format("{}", fmt::join(checked.ids, " + "));
}

// "foam (SNR, NRR); muff (H)", of what is more than 2 dB apart.
std::string apart_names(const Checks& checks) {
    std::string text;
    for (const CheckedRatings* checked : checks) {
        std::vector<std::string_view> apart;
        for (const RatingComparison& comparison : checked->comparisons) {
            if (comparison.is_apart()) apart.push_back(comparison.rating);
        }
        if (apart.empty()) continue;
        text += fmt::format("{}{} ({})", text.empty() ? "" : "; ", name_of(*checked),
                            fmt::join(apart, ", "));
    }
    return text;
}

std::string headline(const Checks& checks, const TextStyle& style) {
    if (checks.empty()) return "The catalogue holds no protector.\n";
    std::size_t compared = 0;
    std::size_t notes = 0;
    for (const CheckedRatings* checked : checks) {
        compared += checked->comparisons.size();
        notes += checked->notes.size();
    }
    const std::string apart = apart_names(checks);
    std::string text;
    if (!apart.empty()) {
        text = fmt::format("{}: {}\n", style.verdict(Verdict::Over, "MORE THAN 2 dB APART"), apart);
    } else if (compared > 0) {
        text = fmt::format("{}\n", style.verdict(Verdict::Within,
                                                 "No stated rating is more than 2 dB from the one "
                                                 "computed from octave-band data."));
    } else {
        text = fmt::format("{}\n", style.verdict(Verdict::Unknown,
                                                 "Nothing to compare: no rating is both stated and "
                                                 "computed."));
    }
    if (notes > 0) text += fmt::format("With {} note{}, below.\n", notes, notes == 1 ? "" : "s");
    return text;
}

std::string table_line(std::string_view name, std::string_view row,
                       const std::array<std::string, 5>& cells) {
    std::string text = fmt::format("  {}{:<12}", at_left(name, 30), row);
    for (const std::string& cell : cells)
        text += fmt::format("{:>9}", cell);
    return text.substr(0, text.find_last_not_of(' ') + 1) + '\n';
}

// Cells of one row, "-" where there is no value.
std::array<std::string, 5> cells_of(const Ratings& ratings, int decimals) {
    std::array<std::string, 5> cells;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        const auto& value = ratings.*ratings_from_octaves[i].value;
        if (!value) {
            cells[i] = "-";
        } else {
            cells[i] = decimals < 0 ? fmt::format("{:g}", value->dB())
                                    : fmt::format("{:.{}f}", value->dB(), decimals);
        }
    }
    return cells;
}

std::array<std::string, 5> difference_cells(const CheckedRatings& checked) {
    std::array<std::string, 5> cells;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        for (const RatingComparison& comparison : checked.comparisons) {
            if (comparison.rating != ratings_from_octaves[i].name) continue;
            cells[i] = fmt::format("{}{:+g}", comparison.is_apart() ? "! " : "",
                                   comparison.difference().dB() + 0.0);
        }
    }
    return cells;
}

std::string table(const Checks& checks) {
    if (checks.empty()) return "";
    std::array<std::string, 5> names;
    for (std::size_t i = 0; i < names.size(); ++i)
        names[i] = ratings_from_octaves[i].name;
    std::string text = '\n' + table_line("dB", "", names);
    for (const CheckedRatings* checked : checks) {
        text += table_line(name_of(*checked), "stated", cells_of(checked->stated, -1));
        if (checked->computed.SNR) {  // all five or none
            text += table_line("", "by 2018", cells_of(checked->computed, 0));
            text += table_line("", "unrounded", cells_of(checked->computed_unrounded, 2));
        }
        if (!checked->comparisons.empty()) {
            text += table_line("", "difference", difference_cells(*checked));
        }
        if (checked->computed.SNR) {
            text += table_line("", "by 1994", cells_of(checked->computed_1994, 0));
            text += table_line("", "unrounded", cells_of(checked->computed_1994_unrounded, 2));
        }
    }
    return text;
}

std::string notes(const Checks& checks) {
    std::string text;
    for (const CheckedRatings* checked : checks) {
        if (checked->notes.empty()) continue;
        text +=
            fmt::format("\n  {}, {}\n", name_of(*checked), visible_text(checked->stated_at.text()));
        for (const CatalogueNote& note : checked->notes) {
            text += wrapped(fmt::format("- {}: {}", note.code, note.text), 4, 6);
        }
    }
    return text.empty() ? "" : "\nWhat to look at" + ("\n" + text.substr(1));
}

std::string working(const Checks& checks) {
    std::string text;
    for (const CheckedRatings* checked : checks) {
        const std::string steps = working_text(checked->working);
        if (!steps.empty()) text += fmt::format("\n{}{}", name_of(*checked), steps);
    }
    return text;
}

}  // namespace

std::string ratings_text(const RatingsCheck& check, const Record& record, const TextStyle& style) {
    const SourceFile& catalogue_file = record.inputs.front();
    const Checks checks = all_of(check);
    return headline(checks, style) +
           fmt::format("\n{}, SHA-256 {}…\n", style.strong(catalogue_file.path),
                       catalogue_file.sha256.substr(0, 16)) +
           table(checks) + notes(checks) + working(checks) +
           record_text(record, rules_of_ratings()) + cautions_text(ratings_cautions);
}

}  // namespace earbudget::report
