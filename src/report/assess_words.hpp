#pragma once

#include <optional>
#include <string>

#include "earbudget/limits/assessment.hpp"
#include "report/document.hpp"

namespace earbudget::report {

/// "within every limit", "over a limit", …
[[nodiscard]] std::string words_of(Verdict verdict);

/// How one criterion comes out: "over"; "above, no limit" of an action value beside limits.
[[nodiscard]] std::string verdict_word(const CriterionResult& result);

/// What is heard during a row: sequence or task, position, door.
[[nodiscard]] std::string segment_name(const Plan& plan, const Person& person,
                                       const ExposureRow& row);

/// A level to one decimal, without its unit; "none" without sound.
[[nodiscard]] std::string level_text(const std::optional<LevelA>& level);

/// The same with its unit; "no sound" without.
[[nodiscard]] std::string level_with_unit(const std::optional<LevelA>& level);

/// A cell of a table: a level or a difference of levels in decibels, or words where there is none.
template <class L>
[[nodiscard]] Cell decibel_cell(const std::optional<L>& level, std::string_view without = "–") {
    return {level ? std::optional(level->dB()) : std::nullopt, without};
}

/// A percentage to one decimal with its sign.
[[nodiscard]] std::string percent_text(double percent);

/// How many more runs fit, for all that is read: "> 20" for more than anybody asks for (own
/// choice); empty for what is no sequence.
[[nodiscard]] std::string runs_text(const std::optional<unsigned>& runs);

/// The parts of a criterion's result, each with its unit; margin and probability may be empty.
[[nodiscard]] std::string quantity_text(const CriterionResult& result);
[[nodiscard]] std::string value_text(const CriterionResult& result);
[[nodiscard]] std::string limit_text(const CriterionResult& result);
[[nodiscard]] std::string margin_text(const CriterionResult& result);
[[nodiscard]] std::string probability_text(const CriterionResult& result);
[[nodiscard]] std::string not_exceeded_text(const CriterionResult& result);

}  // namespace earbudget::report
