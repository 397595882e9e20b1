#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/review/review.hpp"
#include "report/document.hpp"
#include "report/source_file.hpp"

namespace earbudget::report {

/// One card with the file it was read from, and what it replaces where that was asked for.
struct ReviewedCard {
    SequenceReview review;
    SourceFile file;
};

/// All that a review report is made from.
struct ReviewReport {
    const ReviewTerms* terms;
    std::vector<ReviewedCard> cards;
    std::optional<ReviewedCard> against = std::nullopt;   ///< the card that is replaced
    std::optional<SourceFile> protectors = std::nullopt;  ///< the catalogue
    Record record = {};
};

/// The methods, the derating and the criteria of a review.
[[nodiscard]] RulesUsed rules_of(const ReviewReport& report);

/// The reviews as JSON, with a line break at the end.
[[nodiscard]] std::string review_json(const ReviewReport& report);

/// The same to be read: the recommendations first, then of each card the conditions, the levels,
/// the times permitted, what to tick, where the levels come from. Points into the report.
[[nodiscard]] Document review_document(const ReviewReport& report);

}  // namespace earbudget::report
