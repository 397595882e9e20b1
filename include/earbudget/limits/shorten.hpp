#pragma once

#include <optional>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

inline constexpr Formula formula_of_repeats_left{
    "floor((longest time of the row − its time now + 0.001 s) / one run), never less than 0; 0 "
    "where a peak is above its limit",
    "docs/methods.md, advice; derived"};
inline constexpr Formula formula_of_confident_repeats{
    "the most runs of the row alone, no more than by the best estimate, with which no exposure "
    "limit is exceeded in more than the accepted share of the draws; 0 where a peak is more "
    "probable above its limit than accepted",
    "ISO/IEC Guide 98-3, supplement 1 (memory); docs/uncertainty.md"};

/// The longest times of some rows of a day that keep one person's exposure limits; peaks are left
/// out, since no time changes them. Any shorter time keeps the limits too.
struct LongestTime {
    std::optional<Seconds> best_estimate;  ///< within by the best estimate; none: not even at 0 s
    /// Within and over with no more than the accepted probability; none: not even at 0 s, or not
    /// asked for.
    std::optional<Seconds> confident;
    /// How the best estimate came about, for whoever leaves it (LongestTime::step).
    struct How {
        bool hour_matters, above_a_level_never_permitted;
        Seconds most;
        std::vector<BudgetLine> lines;
    } how = {};

    /// That as a step of a working, for people and by its keys in JSON.
    [[nodiscard]] WorkingStep step(Message what, std::vector<std::string> of) const;
};

/// How long one row may last in a session, all its repeats together, the others unchanged. Rounded
/// down to a thousandth of a second; never longer than a day of 24 hours leaves room for, unless it
/// is that long now.
///
/// Doses and LEX rise with the time. The highest hour need not: a quiet row that grows shorter may
/// bring two loud ones into one hour. It is piecewise convex in the time, so that looking at the
/// times where a window of an hour fits exactly between two row ends, and halving between the last
/// that is within and the first that is not, misses nothing. `drawn`, of the same day, adds the
/// confident time; with `only`, by that criterion of those it was drawn for alone.
[[nodiscard]] LongestTime longest_time_of_row(const Person& person, const ExposureDay& day,
                                              std::size_t row, const MonteCarloDay* drawn = nullptr,
                                              std::optional<std::size_t> only = std::nullopt);

/// The same for many rows of a day, whose budget is put together once.
[[nodiscard]] LongestTime longest_time_of_row(const DayBudget& budget, const ExposureDay& day,
                                              std::size_t row, const MonteCarloDay& drawn);

/// How many more runs of each row fit into every session by the best estimate, right after those it
/// has: 0 where the day is over already, none for a rest. Never more than fit into a day of 24
/// hours. `longest` gets the longest time of each row where somebody asks how that came about.
[[nodiscard]] std::vector<std::optional<unsigned>> repeats_left(
    const Person& person, const ExposureDay& day, std::vector<LongestTime>* longest = nullptr);

/// The most runs n up to `most` with which no limit is over by the best estimate when each row
/// lasts fixed + n·part, as MonteCarloDay::confident_runs; none: not even without a run.
[[nodiscard]] std::optional<unsigned> best_estimate_runs(const DayBudget& budget,
                                                         const VariableTimes& runs, unsigned most);

/// How long all rows with a sequence may last in a session together, each shortened by the same
/// factor, rests unchanged. Solved in the same way; never longer than now.
[[nodiscard]] LongestTime longest_time_of_all_sequences(const Person& person,
                                                        const ExposureDay& day,
                                                        const MonteCarloDay* drawn = nullptr);

/// How many more runs of each row alone fit into every session, right after those it has, with no
/// exposure limit over with more than the accepted probability; peaks are left out. Looked for up
/// to `best_estimate`, of repeats_left: 0 where that is 0, none where that is none. `drawn` is of
/// the same day.
[[nodiscard]] std::vector<std::optional<unsigned>> confident_repeats_left(
    const ExposureDay& day, const MonteCarloDay& drawn,
    const std::vector<std::optional<unsigned>>& best_estimate);

}  // namespace earbudget
