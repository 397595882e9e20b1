#include "decision/advice_on_time.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "earbudget/decision/shorten.hpp"

namespace earbudget {

namespace {

std::string confident_sentence(const std::optional<Seconds>& confident) {
    if (!confident) return "";
    if (confident->count() == 0.0) {
        return " No time of it at all keeps the probability of being over at 5 % or less.";
    }
    return fmt::format(" At most {} keeps the probability of being over at 5 % or less.",
                       text_of(*confident));
}

Advice shorten_row(const Plan& plan, const HearingDay& day, std::size_t row,
                   const LongestTime& longest) {
    const HeardRow& heard = day.rows[row];
    const std::string where =
        heard.position ? fmt::format(" ({})", plan.positions[*heard.position].id) : "";
    const bool over_now = *longest.best_estimate < heard.time;
    return {.code = "shorten",
            .text = fmt::format("{} \"{}\"{}: at most {} a session in all (now {}){}.{}",
                                over_now ? "Shorten" : "Do not lengthen",
                                plan.sequences[*heard.sequence].id, where,
                                text_of(*longest.best_estimate), text_of(heard.time),
                                over_now ? "" : " is within by the best estimate",
                                confident_sentence(longest.confident)),
            .row = row,
            .seconds = longest.best_estimate,
            .confident_seconds = longest.confident};
}

// Rows with a sequence, the one with the largest share of the sound energy first.
std::vector<std::size_t> rows_by_share(const PersonResult& result) {
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < result.segments.size(); ++i) {
        if (result.segments[i].row.sequence) rows.push_back(i);
    }
    std::stable_sort(rows.begin(), rows.end(), [&](std::size_t a, std::size_t b) {
        return result.segments[a].share_percent > result.segments[b].share_percent;
    });
    return rows;
}

}  // namespace

void advise_shortening(const Plan& plan, const HearingDay& day, const PersonResult& result,
                       std::vector<Advice>& advice) {
    for (const std::size_t row : rows_by_share(result)) {
        const LongestTime longest = longest_time_of_row(*result.person, day, row);
        if (!longest.best_estimate || longest.best_estimate->count() == 0.0) continue;
        advice.push_back(shorten_row(plan, day, row, longest));
        return;
    }
    const LongestTime all = longest_time_of_all_sequences(*result.person, day);
    if (!all.best_estimate || all.best_estimate->count() == 0.0) return;
    advice.push_back(
        {.code = "shorten",
         .text = fmt::format("Leaving out one sequence is not enough: shorten all of them in "
                             "proportion, to {} a session together.{}",
                             text_of(*all.best_estimate), confident_sentence(all.confident)),
         .seconds = all.best_estimate,
         .confident_seconds = all.confident});
}

}  // namespace earbudget
