#include "decision/advice_on_time.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/acoustics/duration_text.hpp"
#include "earbudget/decision/accepted_words.hpp"
#include "earbudget/decision/day_budget.hpp"
#include "earbudget/decision/shorten.hpp"

namespace earbudget {

namespace {

std::string confident_sentence(const std::optional<Seconds>& confident, const Person& person) {
    if (!confident || *confident < Seconds(1.0)) {
        return fmt::format(" No time of it at all keeps {}.", words_of_accepted(person.policy));
    }
    return fmt::format(" At most {} keeps {}.", text_of(*confident),
                       words_of_accepted(person.policy));
}

// The sequence, with its row where it stands in several and the position of staff.
std::string row_name(const Plan& plan, const HearingDay& day, std::size_t row) {
    const HeardRow& heard = day.rows[row];
    std::string name = fmt::format("\"{}\"", plan.sequences[*heard.sequence].id);
    const auto same = std::count_if(day.rows.begin(), day.rows.end(), [&](const HeardRow& other) {
        return other.sequence == heard.sequence;
    });
    if (same > 1) name += fmt::format(" in row {}", row + 1);
    if (heard.position) name += fmt::format(" ({})", plan.positions[*heard.position].id);
    return name;
}

// How many of its repeats keep every limit.
std::optional<Advice> drop_repeats(const Plan& plan, const Person& person, const HearingDay& day,
                                   std::size_t row, const LongestTime& longest) {
    const HeardRow& heard = day.rows[row];
    if (heard.repeat < 2) return std::nullopt;
    const auto runs_in = [&](Seconds time) {
        return static_cast<unsigned>((time + Seconds(0.001)) / heard.run());
    };
    const unsigned runs = runs_in(longest.best_estimate.value());
    if (runs < 1 || runs >= heard.repeat) return std::nullopt;
    Advice advice{.code = "drop-repeats", .row = row, .count = runs};
    advice.text = fmt::format("Run {} {} a session instead of {} times.", row_name(plan, day, row),
                              runs == 1 ? "once" : fmt::format("{} times", runs), heard.repeat);
    if (!longest.confident) {
        advice.text +=
            fmt::format(" No number of them keeps {}.", words_of_accepted(person.policy));
        return advice;
    }
    advice.confident_count = std::min(runs, runs_in(*longest.confident));
    if (advice.confident_count < runs) {
        advice.text += fmt::format(" {} keeps {}.",
                                   *advice.confident_count == 0
                                       ? "Only leaving it out"
                                       : fmt::format("{} of them", *advice.confident_count),
                                   words_of_accepted(person.policy));
    }
    return advice;
}

Advice shorten_row(const Plan& plan, const Person& person, const HearingDay& day, std::size_t row,
                   const LongestTime& longest) {
    const HeardRow& heard = day.rows[row];
    const Seconds best = longest.best_estimate.value();
    std::string what;
    if (best < Seconds(1.0)) {
        what = fmt::format("Leave out {}", row_name(plan, day, row));
    } else if (best >= heard.time && longest.confident && *longest.confident < heard.time) {
        return {.code = "shorten",
                .text = fmt::format(
                    "{} By the best estimate it could last {}.",
                    *longest.confident < Seconds(1.0)
                        ? fmt::format("Only leaving out {} keeps {}.", row_name(plan, day, row),
                                      words_of_accepted(person.policy))
                        : fmt::format("Shorten {} to at most {} a session, all its "
                                      "repeats together (now {}), to keep {}.",
                                      row_name(plan, day, row), text_of(*longest.confident),
                                      text_of(heard.time), words_of_accepted(person.policy)),
                    text_of(best)),
                .row = row,
                .seconds = longest.best_estimate,
                .confident_seconds = longest.confident};
    } else if (best < heard.time) {
        what = fmt::format("Shorten {} to at most {} a session, all its repeats together (now {})",
                           row_name(plan, day, row), text_of(best), text_of(heard.time));
    } else {
        what =
            fmt::format("Do not lengthen {} beyond {} a session, all its repeats together (now {})",
                        row_name(plan, day, row), text_of(best), text_of(heard.time));
    }
    return {.code = "shorten",
            .text = what + "." + confident_sentence(longest.confident, person),
            .row = row,
            .seconds = longest.best_estimate,
            .confident_seconds = longest.confident};
}

// Whether leaving out a row would keep every limit.
bool is_enough(const DayBudget& budget, std::size_t row) {
    const auto longest = budget.longest_of_row(row, budget.times()[row]);
    if (!longest) return false;
    if (!budget.hour_matters()) return true;
    std::vector<Seconds> times = budget.times();
    times[row] = Seconds(0.0);
    return !budget.is_hour_over(times, budget.sessions());
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

void advise_shortening(const Plan& plan, const HearingDay& day, const DrawnDay& drawn,
                       const PersonResult& result, std::vector<Advice>& advice) {
    const Person& person = *result.person;
    const DayBudget budget(person, day);
    for (const std::size_t row : rows_by_share(result)) {
        if (!is_enough(budget, row)) continue;
        const LongestTime longest = longest_time_of_row(person, day, row, &drawn);
        if (!longest.best_estimate) continue;
        advice.push_back(shorten_row(plan, person, day, row, longest));
        if (auto fewer = drop_repeats(plan, person, day, row, longest)) {
            advice.push_back(*std::move(fewer));
        }
        return;
    }
    const LongestTime all = longest_time_of_all_sequences(person, day, &drawn);
    if (!all.best_estimate || *all.best_estimate < Seconds(1.0)) return;
    advice.push_back({.code = "shorten",
                      .text = fmt::format(
                          "Leaving out one row is not enough: shorten all of them in proportion, "
                          "to {} a session together.{}",
                          text_of(*all.best_estimate), confident_sentence(all.confident, person)),
                      .seconds = all.best_estimate,
                      .confident_seconds = all.confident});
}

}  // namespace earbudget
