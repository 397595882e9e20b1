#pragma once

#include "earbudget/decision/review.hpp"

namespace earbudget {

/// A day of one sequence alone with something worn.
struct ReviewedDays {
    HearingDay as_rated;
    std::optional<HearingDay> poorly_seated;  ///< none where nothing is worn
};

/// How long that sequence may last a day by one criterion of the person's policy.
[[nodiscard]] PermittedByCriterion permitted_by(const Criterion& criterion, const Person& person,
                                                const ReviewedDays& days);

}  // namespace earbudget
