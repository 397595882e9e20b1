#include <fmt/format.h>

#include "report/cautions.hpp"
#include "report/reports.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

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
    return fmt::format("{}", fmt::join(checked.ids, " under "));
}

// "foam (SNR, NRR); muff (H)", of what is more than 2 dB apart.
std::string apart_names(const Checks& checks) {
    return joined(checks, "; ", [](const CheckedRatings* checked) {
        const std::string apart =
            joined(checked->comparisons, ", ", [](const RatingComparison& comparison) {
                return std::string(comparison.is_apart() ? comparison.rating : "");
            });
        return apart.empty() ? "" : fmt::format("{} ({})", name_of(*checked), apart);
    });
}

Answer answer_of(const Checks& checks) {
    std::size_t compared = 0;
    for (const CheckedRatings* checked : checks)
        compared += checked->comparisons.size();
    if (const std::string apart = apart_names(checks); !apart.empty())
        return {Verdict::Over, "MORE THAN 2 dB APART", apart};
    if (compared > 0)
        return {Verdict::Within,
                "No stated rating is more than 2 dB from the one computed from octave-band data."};
    return {Verdict::Unknown, "Nothing to compare: no rating is both stated and computed."};
}

std::vector<Block> outcome_of(const Checks& checks) {
    if (checks.empty()) return {{Paragraph{"The catalogue holds no protector."}}};
    std::size_t notes = 0;
    for (const CheckedRatings* checked : checks)
        notes += checked->notes.size();
    std::vector<Block> blocks = {{Answers{
        {answer_of(checks)}, {"agrees", "", "nothing to compare", "more than 2 dB apart"}}}};
    if (notes > 0)
        blocks.push_back(
            {Paragraph{fmt::format("With {} note{}, below.", notes, notes == 1 ? "" : "s")}});
    return blocks;
}

/// A row of ratings, "-" where there is no value; as stated with fewer than no decimals.
void add_row(std::string_view name, std::string_view what, const Ratings& ratings, int decimals,
             Table& table) {
    Row row{{Cell(std::string(name)), Cell(std::string(what))}};
    for (const RatingRow& rating : ratings_from_octaves) {
        const auto& value = ratings.*rating.value;
        row.cells.emplace_back(!value         ? std::string("-")
                               : decimals < 0 ? fmt::format("{:g}", value->dB())
                                              : fmt::format("{:.{}f}", value->dB(), decimals));
    }
    table.rows.push_back(std::move(row));
}

void add_differences(const CheckedRatings& checked, Table& table) {
    if (checked.comparisons.empty()) return;
    Row row{{Cell(""), Cell("difference")}};
    for (const RatingRow& rating : ratings_from_octaves) {
        std::string words;
        for (const RatingComparison& comparison : checked.comparisons) {
            if (comparison.rating != rating.name) continue;
            words = fmt::format("{}{:+g}", comparison.is_apart() ? "! " : "",
                                comparison.difference().dB() + 0.0);
        }
        row.cells.emplace_back(std::move(words));
    }
    table.rows.push_back(std::move(row));
}

Table table_of(const Checks& checks) {
    Table table{.name = "Ratings",
                .columns = {{"id", "protector"}, {.key = "", .title = "", .number = false}}};
    for (const RatingRow& rating : ratings_from_octaves)
        table.columns.push_back({rating.name, std::string(rating.name), "dB"});
    for (const CheckedRatings* checked : checks) {
        add_row(name_of(*checked), "stated", checked->stated, -1, table);
        const bool computed = checked->computed.SNR.has_value();  // all five or none
        if (computed) {
            add_row("", "by 2018", checked->computed, 0, table);
            add_row("", "unrounded", checked->computed_unrounded, 2, table);
        }
        add_differences(*checked, table);
        if (computed) {
            add_row("", "by 1994", checked->computed_1994, 0, table);
            add_row("", "unrounded", checked->computed_1994_unrounded, 2, table);
        }
    }
    return table;
}

List notes_of(const Checks& checks) {
    List list{.items = {}, .bullets = true};
    for (const CheckedRatings* checked : checks) {
        if (checked->notes.empty()) continue;
        Item item{fmt::format("{}, {}", name_of(*checked), checked->stated_at.text())};
        for (const CatalogueNote& note : checked->notes)
            item.under.push_back({fmt::format("{}: {}", note.code(), text_of(note.says))});
        list.items.push_back(std::move(item));
    }
    return list;
}

}  // namespace

Document ratings_document(const RatingsCheck& check, const Record& record) {
    const SourceFile& file = record.inputs.front();
    const Checks checks = all_of(check);
    Document document{.head = {"ratings", "Ratings computed beside those stated", file.path,
                               file.path, record.date, file.sha256}};
    document.sections.push_back({"verdict", "Do they agree?", outcome_of(checks)});
    if (!checks.empty()) document.sections.push_back({"ratings", "Each rating", {{table_of(checks)}}});
    if (const List notes = notes_of(checks); !notes.items.empty())
        document.sections.push_back({"notes", "What to look at", {{notes}}});
    if (record.with_working) {
        for (std::size_t n = 0; n < checks.size(); ++n)
            document.sections.push_back(
                {fmt::format("working-{}", n + 1),
                 name_of(*checks[n]),
                 {{Steps{name_of(*checks[n]), [one = checks[n]] { return one->working; }}}}});
    }
    const auto& more = ratings_cautions;
    add_record_and_cautions(record, rules_of_ratings(), {more.begin(), more.end() - 1}, document);
    return document;
}

}  // namespace earbudget::report
