#pragma once

#include "earbudget/review/review.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

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

/// A person with one criterion: each is solved on its own.
[[nodiscard]] Person with_criterion(const Person& person, const Criterion& criterion);

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
