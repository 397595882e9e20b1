#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "report/review_report.hpp"

namespace earbudget::report {

// What a review says in words, for text and pages: sentences without line breaks.

/// A recommendation in less than a line, without what it names.
[[nodiscard]] std::string_view first_words(Recommendation::Code code);

/// Where the levels come from: name and text.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> origin_entries(const Origin& origin);

/// How each peak limit stands.
[[nodiscard]] std::vector<std::string> peak_sentences(const SequenceReview& review,
                                                      const ReviewTerms& terms);

[[nodiscard]] std::string check_words(const ReviewCheck& check);

/// What a permitted time a day is.
[[nodiscard]] std::string permitted_sentence(const ReviewTerms& terms);

/// Of the card's levels, stated or by default.
[[nodiscard]] std::string uncertainty_sentence(const Sequence& sequence);

/// From which catalogue, or that there is none.
[[nodiscard]] std::string protectors_sentence(const ReviewReport& report);

/// How they are predicted; empty without a catalogue.
[[nodiscard]] std::vector<std::string> method_sentences(const ReviewReport& report);

/// For whom the review is: "for a child, participant", "for staff".
[[nodiscard]] std::string whom_words(const ReviewTerms& terms);

/// What the age group changes: that no limit for it is known, the times of what is made for another
/// one.
[[nodiscard]] std::vector<std::string> age_sentences(const SequenceReview& review,
                                                     const ReviewTerms& terms);

/// Each criterion with its source, then what the exit status says of them.
[[nodiscard]] std::vector<std::string> criteria_sentences(const ReviewTerms& terms);

}  // namespace earbudget::report
