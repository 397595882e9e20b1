#pragma once

#include <vector>

#include "earbudget/review/phrases.hpp"
#include "earbudget/review/review.hpp"

namespace earbudget {

/// What follows from all that a review found but its recommendation.
[[nodiscard]] Recommendation recommend(const SequenceReview& review, const ReviewTerms& terms);

using Choices = std::vector<const ReviewedChoice*>;

/// "nothing worn", or the ids of what is worn.
[[nodiscard]] Message name_of_choice(const ReviewedChoice& choice);

/// "3 h 2 min a day by niosh-rel", rounded down; "all day".
[[nodiscard]] Message up_to(const PermittedByCriterion& by, const PermittedTime& time);

/// On what conditions a sequence may run with these choices, of which there is at least one.
[[nodiscard]] std::vector<Message> conditions_for(const SequenceReview& review,
                                                  const ReviewTerms& terms, const Choices& choices);

/// The shortest time of all that decide with which the probability of being over is accepted; none
/// where no deciding criterion has one.
[[nodiscard]] const PermittedByCriterion* least_confident(const ReviewedChoice& choice);

}  // namespace earbudget
