#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/review/phrases.hpp"
#include "earbudget/review/review.hpp"
#include "earbudget/review/review_checks.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

// Published measurements of scanners; abstracts seen.
inline constexpr LevelA lowest_published{82.5};    // Price and others, 2001
inline constexpr LevelA highest_published{132.0};  // J Magn Reson Imaging 2000, 12:157

/// Where the levels of a card come from: how, who, when, where, with what, in what.
void check_origin(const Sequence& sequence, std::vector<ReviewCheck>& checks);

/// How good the measurement is: calibration, length, background, recording, uncertainty, timing.
void check_measurement(const Sequence& sequence, std::vector<ReviewCheck>& checks);

/// The levels by themselves.
void check_levels(const SoundLevels& levels, std::vector<ReviewCheck>& checks);

/// The words of free text, in small letters; a full stop stays between digits only.
[[nodiscard]] std::vector<std::string> words_of(std::string_view text);

/// Whether free text may say that something is not so: "no", "not", "none", "without", "unknown".
[[nodiscard]] bool may_negate(std::string_view text);

/// Whether free text holds a year from 1900 to 2099.
[[nodiscard]] bool has_year(std::string_view text);

/// What follows from all that a review found but its recommendation.
[[nodiscard]] Recommendation recommend(const SequenceReview& review, const ReviewTerms& terms);

/// A plan of one row with the sequence and one person who hears it at the ear position of its card.
[[nodiscard]] Plan plan_of_one(const Sequence& sequence, const ReviewTerms& terms);

/// Fills the choices of a review, and what may not be worn at all.
void review_choices(const Plan& plan, const ReviewTerms& terms, SequenceReview& result,
                    Trace* trace);

/// A day of one sequence alone with something worn.
struct ReviewedDays {
    ExposureDay as_rated;
    std::optional<ExposureDay> poorly_seated;  ///< none where nothing is worn
};

/// The day of a plan of one row (plan_of_one) with something worn; an obstacle as day_or_obstacle.
[[nodiscard]] Result<ReviewedDays> days_of(const Plan& plan, const std::vector<std::string>& wears,
                                           Trace* trace);

/// Where to leave how a permitted time came about.
struct PermittedTrace {
    Trace* trace;       ///< null: nowhere
    std::string worn;   ///< for people
    std::size_t place;  ///< among all permitted times of the review
};

/// How long that sequence may last a day by one criterion of the person's policy, named by its
/// index there; its draws are those of the day as rated, made once for all criteria.
[[nodiscard]] PermittedByCriterion permitted_by(const Criterion& criterion, std::size_t index,
                                                const Plan& plan, const Person& person,
                                                const ReviewedDays& days,
                                                const MonteCarloDay& drawn,
                                                const PermittedTrace& trace);

}  // namespace earbudget
