#pragma once

#include <string>
#include <vector>

#include "earbudget/limits/assessment.hpp"

namespace earbudget::report {

// What an assessment says in words, for text and pages: sentences without line breaks.

/// What tasks state to be worn, whatever the person wears else, "a, b under c"; empty for nothing.
[[nodiscard]] std::string worn_in_tasks(const Plan& plan, const Person& person);

/// "wears Foam plug (foam), poorly seated".
[[nodiscard]] std::string wears_text(const Plan& plan, const Person& person);

/// Who wears something with metal at the magnet: before every verdict; empty for nobody.
[[nodiscard]] std::string metal_headline(const Plan& plan,
                                         const std::vector<const Person*>& people);
[[nodiscard]] std::string metal_headline(const Assessment& assessment);

/// Everyone with this verdict, people alike together: "a and 3 alike, b"; empty for nobody.
[[nodiscard]] std::string ids_with(const Assessment& assessment, Verdict verdict);

/// The verdict in words, with what could not be judged.
[[nodiscard]] std::string verdict_words(const PersonResult& result);

/// Why the verdict is what it is: the limits that make it so, or the tightest one.
[[nodiscard]] std::vector<std::string> reasons_of(const PersonResult& person);

/// The day: exposure, what drives it, a poor fit, how useful it is, the method, other methods.
[[nodiscard]] std::vector<std::string> day_sentences(const Plan& plan, const PersonResult& person);

/// Each criterion used, with its source and remark.
[[nodiscard]] std::vector<std::string> criteria_sentences(const Assessment& assessment);

}  // namespace earbudget::report
