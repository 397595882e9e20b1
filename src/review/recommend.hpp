#pragma once

#include "earbudget/review/review.hpp"

namespace earbudget {

/// What follows from all that a review found but its recommendation.
[[nodiscard]] Recommendation recommend(const SequenceReview& review, const ReviewTerms& terms);

}  // namespace earbudget
