#pragma once

#include <string>
#include <vector>

#include "report/review_report.hpp"

namespace earbudget::report {

/// What is worn by its ids; "nothing worn".
[[nodiscard]] std::string worn_words(const ReviewTerms& terms, const ReviewedChoice& choice);

/// A permitted time short enough for a table: "2 h 3 min", "24 h or more", "none".
[[nodiscard]] std::string time_words(const std::optional<PermittedTime>& time);

/// Levels, peaks, spectrum.
[[nodiscard]] std::vector<Block> levels_blocks(const Sequence& sequence);

/// Of each choice the level at the ear and the times permitted, one column a criterion.
[[nodiscard]] std::vector<Block> permitted_blocks(const ReviewTerms& terms,
                                                  const SequenceReview& review);

/// Each level and band, and each permitted time, before and now.
[[nodiscard]] std::vector<Block> difference_blocks(const ReviewTerms& terms,
                                                   const ReviewedCard& now,
                                                   const ReviewedCard& before);

}  // namespace earbudget::report
