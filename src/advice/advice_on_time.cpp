#include "advice/advice_on_time.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "advice/far_apart.hpp"
#include "earbudget/acoustics/duration_text.hpp"
#include "earbudget/day/accepted_words.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "earbudget/limits/shorten.hpp"
#include "earbudget/uncertainty/variable_times.hpp"

namespace earbudget {

namespace {

// A run shorter than this, or than this part of what is planned, is not what a study wants: nobody
// would follow (own choice).
constexpr Seconds shortest_run{30.0};
constexpr double least_part = 0.1;

bool is_worth_running(const std::optional<Seconds>& time, Seconds now) {
    return time && *time >= std::min(shortest_run, now) && *time >= least_part * now;
}

/// What keeps the accepted probability, beside what the best estimate permits.
std::string confident_sentence(const LongestTime& longest, Seconds now,
                               const PersonResult& result) {
    const Policy& policy = result.person->policy;
    const double confident = longest.confident.value_or(Seconds(0.0)).count();
    std::string text = fmt::format(" At most {} keeps {}.", text_of(Seconds(confident)),
                                   words_of_accepted(policy));
    if (!longest.confident) {
        text = fmt::format(" Even without it {} is not kept.", words_of_accepted(policy));
    } else if (!is_worth_running(longest.confident, now)) {
        text = fmt::format(" So little of it keeps {} that it is better left out.",
                           words_of_accepted(policy));
    }
    const bool far = is_worth_running(longest.best_estimate, now) &&
                     are_far_apart(longest.best_estimate->count(), confident);
    return far ? text + why_far_apart(result) : text;
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
std::optional<Advice> drop_repeats(const Plan& plan, const PersonResult& result,
                                   const HearingDay& day, std::size_t row,
                                   const LongestTime& longest) {
    const Person& person = *result.person;
    const HeardRow& heard = day.rows[row];
    if (heard.repeat < 2) return std::nullopt;
    const auto runs_in = [&](Seconds time) {
        return static_cast<unsigned>((time + Seconds(0.001)) / heard.run());
    };
    const unsigned runs = runs_in(longest.best_estimate.value());
    if (runs < 1 || runs >= heard.repeat) return std::nullopt;
    Advice advice{.code = AdviceCode::DropRepeats, .row = row, .count = runs};
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
                                       ? "Less than one of them"
                                       : fmt::format("{} of them", *advice.confident_count),
                                   words_of_accepted(person.policy));
        if (*advice.confident_count > 0 && are_far_apart(runs, *advice.confident_count))
            advice.text += why_far_apart(result);
    }
    return advice;
}

std::string shorten_text(const Plan& plan, const PersonResult& result, const HearingDay& day,
                         std::size_t row, const LongestTime& longest) {
    const HeardRow& heard = day.rows[row];
    const Policy& policy = result.person->policy;
    const Seconds best = longest.best_estimate.value();
    const std::string name = row_name(plan, day, row);
    if (best < heard.time) {
        if (!is_worth_running(best, heard.time)) {
            return fmt::format(
                "Leave out {}.{}", name,
                longest.confident ? "" : confident_sentence(longest, heard.time, result));
        }
        return fmt::format("Shorten {} to at most {} a session, all its repeats together (now {}).",
                           name, text_of(best), text_of(heard.time)) +
               confident_sentence(longest, heard.time, result);
    }
    if (!longest.confident || *longest.confident >= heard.time) {
        return fmt::format(
                   "Do not lengthen {} beyond {} a session, all its repeats together (now "
                   "{}).",
                   name, text_of(best), text_of(heard.time)) +
               confident_sentence(longest, heard.time, result);
    }
    std::string text =
        is_worth_running(longest.confident, heard.time)
            ? fmt::format(
                  "Shorten {} to at most {} a session, all its repeats together (now {}), "
                  "to keep {}.",
                  name, text_of(*longest.confident), text_of(heard.time), words_of_accepted(policy))
            : fmt::format("Leave out {}: so little of it keeps {} that it is not worth running.",
                          name, words_of_accepted(policy));
    text += fmt::format(" By the best estimate it could last {}.", text_of(best));
    const bool far = are_far_apart(best.count(), longest.confident->count());
    return far ? text + why_far_apart(result) : text;
}

Advice shorten_row(const Plan& plan, const PersonResult& result, const HearingDay& day,
                   std::size_t row, const LongestTime& longest) {
    return {.code = AdviceCode::Shorten,
            .text = shorten_text(plan, result, day, row, longest),
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
        // Not kept confidently without it, and by the best estimate it could last longer.
        if (!longest.confident && *longest.best_estimate >= day.rows[row].time) continue;
        advice.push_back(shorten_row(plan, result, day, row, longest));
        if (auto fewer = drop_repeats(plan, result, day, row, longest)) {
            advice.push_back(*std::move(fewer));
        }
        return;
    }
    const LongestTime all = longest_time_of_all_sequences(person, day, &drawn);
    const Seconds now = time_of_sequences(day);
    if (!is_worth_running(all.best_estimate, now)) return;
    if (*all.best_estimate >= now) return;
    advice.push_back({.code = AdviceCode::Shorten,
                      .text = fmt::format(
                          "Leaving out one row is not enough: shorten all of them in proportion, "
                          "to {} a session together.{}",
                          text_of(*all.best_estimate), confident_sentence(all, now, result)),
                      .seconds = all.best_estimate,
                      .confident_seconds = all.confident});
}

}  // namespace earbudget
