#pragma once

#include <string>
#include <vector>

#include "report/review_report.hpp"

namespace earbudget::report {

/// The permitted times that a table has as columns: of what is made for another age group there is
/// a sentence (age_sentences).
[[nodiscard]] std::vector<PermittedByCriterion> tabled(const ReviewTerms& terms,
                                                       const ReviewedChoice& choice);

/// What is worn as a reader knows it: titles with ids, "nothing worn".
[[nodiscard]] std::string worn_words(const ReviewTerms& terms, const ReviewedChoice& choice);

/// A permitted time short enough for a table: "2 h 3 min", "24 h or more", "none".
[[nodiscard]] std::string table_words(const std::optional<PermittedTime>& time);

/// Levels, peaks, spectrum.
[[nodiscard]] std::string levels_table(const SoundLevels& levels);

/// One block a choice, one column a criterion.
[[nodiscard]] std::string permitted_table(const ReviewTerms& terms, const SequenceReview& review,
                                          const TextStyle& style);

/// What is worn with its level at the ear, or why that cannot be said.
[[nodiscard]] std::string choice_words(const ReviewTerms& terms, const ReviewedChoice& choice,
                                       const TextStyle& style);

/// Each choice's permitted times before and now, a sentence each.
[[nodiscard]] std::vector<std::string> time_change_sentences(const ReviewedCard& now,
                                                             const ReviewedCard& before);

/// Each level and band, and each permitted time, before and now.
[[nodiscard]] std::string difference_lines(const ReviewedCard& now, const ReviewedCard& before);

}  // namespace earbudget::report
