#pragma once

#include <optional>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

/// Everyone's exposure over the plan, against each criterion, with verdict and advice.
/// Throws the Obstacle where the data do not allow what the policy asks for (see day_exposure). Without
/// `with_courses` no course and no spectrum, which long days have many points of and text does not
/// show.
[[nodiscard]] Assessment assess(const Plan& plan, Tracing tracing = Tracing::Off,
                                bool with_courses = true);

/// The same exposures, limits and verdicts without what follows from them: no advice, nothing that
/// is said of a poor fit, of runs that fit or of other methods.
[[nodiscard]] Assessment assess_verdicts(const Plan& plan);

/// What a person can do about the verdict, smallest change first: nothing where all is well.
/// `drawn` is of the same day; `result` must hold everything but the advice; `candidates` are those
/// of the person, and are told how many were looked at closely.
[[nodiscard]] std::vector<Advice> advise(const Plan& plan, const ExposureDay& day,
                                         const MonteCarloDay& drawn, const PersonResult& result,
                                         Candidates& candidates, Trace* trace = nullptr);

inline constexpr Formula formula_of_share{
    "share = 100·n·t·10^(L/10) / Σ n·t·10^(L/10), n times a day",
    "sound energy at the ear; derived"};
inline constexpr Formula formula_of_drop{"drop = −10 lg(1 − share/100)",
                                         "sound energy at the ear; derived"};

/// What each sequence heard has of the day's sound energy at the ear, all rests together; largest
/// first.
[[nodiscard]] std::vector<Share> shares_of_sequences(const ExposureDay& day);

/// The same of each task; empty where the person has none.
[[nodiscard]] std::vector<Share> shares_of_tasks(const ExposureDay& day);

/// The single change that lowers LEX,8h at the ear most: a sequence or task left out, one session a
/// day, another protector, worn all the time; of what was tried, and its text says so where
/// something to wear was not. None where the day has no sound.
[[nodiscard]] std::optional<Change> largest_change(const Plan& plan, const Person& person,
                                                   const ExposureDay& day,
                                                   const Candidates& candidates);

}  // namespace earbudget
