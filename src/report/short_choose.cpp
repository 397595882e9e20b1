#include <algorithm>

#include <fmt/format.h>

#include "earbudget/choice/homogeneous_groups.hpp"
#include "report/assess_words.hpp"
#include "report/sentences.hpp"
#include "report/short_answer.hpp"

namespace earbudget::report {

namespace {

/// So many of a ranking are worth a look at once. Own choice.
constexpr std::size_t most_ranked = 3;

// Longer ones, which hardly anybody writes, are cut. Own choice.
constexpr std::size_t columns_of_worn = 76;

/// What the margin is of where nothing worn changes it: ", peak outside".
std::string margin_whatever_is_worn(const PersonChoice& choice, const RankedChoice& ranked) {
    if (ranked.worst_margin == ranked.margin_by_wearing) return "";
    const auto of =
        std::ranges::find(choice.whatever_is_worn, ranked.worst_margin, &CriterionResult::margin);
    if (of == choice.whatever_is_worn.end()) return "";
    return of->is_peak ? ", peak outside" : ", outside";
}

std::string margin_words(const PersonChoice& choice, const RankedChoice& ranked) {
    if (ranked.made_for_others) return "–";
    const std::string of = margin_whatever_is_worn(choice, ranked);
    if (!ranked.worst_margin) return "–" + of;
    const double margin = ranked.worst_margin->dB();
    return fmt::format("{:.1f} dB {}{}", std::abs(margin), margin < 0.0 ? "over" : "left", of);
}

/// The first of a ranking as rows, and how many more there are.
void add_ranking(const Plan& plan, const PersonChoice& choice, const std::string& people,
                 Table& table) {
    const auto& ranking = choice.ranking;
    const std::size_t shown = std::min(ranking.size(), most_ranked);
    const std::string more =
        ranking.size() > shown
            ? fmt::format(" ({} more: {})", ranking.size() - shown, where_the_rest_is())
            : std::string();
    table.rows.push_back({{Cell(people + more)}});
    for (std::size_t n = 0; n < shown; ++n) {
        const RankedChoice& ranked = ranking[n];
        table.rows.push_back(
            {{fmt::format("{}. {}", n + 1,
                          fitted(short_names_of(plan.catalogue, ranked.wears), columns_of_worn)),
              words_of(ranked.verdict_by_all), decibel_cell(ranked.at_ear_LEX_8h, "none"),
              margin_words(choice, ranked),
              ranked.probability_over && !ranked.made_for_others
                  ? percent_text(100.0 * *ranked.probability_over)
                  : std::string("–")}});
    }
    if (ranking.empty()) table.rows.back().cells.front().words += ": nothing that may be worn";
}

}  // namespace

std::vector<Block> short_rankings(const Plan& plan, const std::vector<PersonChoice>& choices) {
    auto groups = people_together(choices);
    std::ranges::stable_sort(groups, std::ranges::greater(), [&](const PeopleTogether& group) {
        return choices[group.front()].verdict();
    });
    Table table{.name = "The best for each, well seated and worn all the time",
                .columns = {{.key = "wears", .title = "worn, the best first"},
                            {.key = "verdict", .title = "verdict", .number = false},
                            {"at_ear_LEX_8h_dB", "LEX,8h at the ear", "dB(A)"},
                            {"worst_margin_dB", "margin"},
                            {"probability_over", "P(over)"}}};
    std::size_t left_out = 0;
    std::size_t shown = 0;
    for (const PeopleTogether& group : groups) {
        const PersonChoice& choice = choices[group.front()];
        if (choice.needs_none()) continue;
        if (shown++ < groups_in_full) {
            add_ranking(plan, choice, short_people(ids_of_group(choices, group), 40), table);
        } else {
            left_out += group.size();
        }
    }
    std::vector<Block> blocks;
    blocks.push_back({std::move(table)});
    if (left_out > 0)
        blocks.push_back(
            {Paragraph{fmt::format("The rankings of {} more, none with a worse answer: {}",
                                   left_out, where_the_rest_is())}});
    return blocks;
}

}  // namespace earbudget::report
