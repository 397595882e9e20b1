#pragma once

#include <string>
#include <vector>

#include "earbudget/choice/choose.hpp"

namespace earbudget::report {

// What a ranking says in words, for text and pages: sentences without line breaks; empty where
// there is nothing to say.

/// What stands before all answers: who wears metal at the magnet, who cannot be decided.
[[nodiscard]] std::string headline(const Plan& plan, const std::vector<PersonChoice>& choices);

/// What to hand out, or why nothing.
[[nodiscard]] std::string answer_words(const Plan& plan, const PersonChoice& choice);

/// What nothing in the catalogue changes.
[[nodiscard]] std::string peak_sentence(const PersonChoice& choice);

/// By which method and derating, for how many people.
[[nodiscard]] std::string terms_sentence(const Person& person);

/// The reduction that would do, and ratings by type.
[[nodiscard]] std::vector<std::string> required_sentences(const Policy& policy,
                                                          const RequiredReduction& required);

/// With nothing worn.
[[nodiscard]] std::string unprotected_sentence(const RankedChoice& without);

/// From the lowest to the highest of all methods.
[[nodiscard]] std::string spread_sentence(const RankedChoice& choice);

/// Each reason once, with what it keeps away; a pair goes with the one of it that may not be worn.
[[nodiscard]] std::vector<std::string> not_permitted_sentences(const Plan& plan,
                                                               const PersonChoice& choice);

}  // namespace earbudget::report
