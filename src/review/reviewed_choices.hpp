#pragma once

#include "earbudget/review/review.hpp"

namespace earbudget {

/// A plan of one row with the sequence and one person who hears it at the ear position of its card.
[[nodiscard]] Plan plan_of_one(const Sequence& sequence, const ReviewTerms& terms);

/// Fills the choices of a review, and what may not be worn at all.
void review_choices(const Plan& plan, const ReviewTerms& terms, SequenceReview& result,
                    Trace* trace);

}  // namespace earbudget
