#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/choice/homogeneous_groups.hpp"
#include "earbudget/limits/assessment.hpp"
#include "report/document.hpp"

namespace earbudget::report {

/// "within every limit", "over a limit", …
[[nodiscard]] std::string words_of(Verdict verdict);

/// The words as a sentence begins with them.
[[nodiscard]] std::string first_letter_large(std::string words);

/// How one criterion comes out: "over"; "above, no limit" of an action value beside limits.
[[nodiscard]] std::string verdict_word(const CriterionResult& result);

/// Whether nothing of a person's day can be decided but by limits that are made for others
/// (CriterionResult::made_for_others), so that nothing is said to be left.
[[nodiscard]] bool is_by_limits_of_others(const PersonResult& person);

/// "by examples that nobody measured: the background, the position …", no more than `most` of them
/// named and the others counted; empty without any.
[[nodiscard]] std::string examples_words(const std::vector<Message>& examples,
                                         std::size_t most = std::string::npos);

/// Where a criterion stands, what to know of it and what follows above it.
[[nodiscard]] std::string criterion_words(const Criterion& criterion);

/// "derating osha-half: …" with its source; empty for none.
[[nodiscard]] std::string derating_words(const Derating& derating);

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

// Who is meant, where several people are spoken of at once.

/// People of whom the same is said: "p01", "p01 and p02", "p01, p02 and p03", "p01, p02 and 22
/// others".
[[nodiscard]] std::string names_of_people(const std::vector<std::string>& ids);

/// A group as its answer names it: "p01", or "p01 and 23 alike".
[[nodiscard]] std::string name_of_group(const std::vector<std::string>& ids);

/// Who else a group is, each once: "the same for p02, p03"; empty for somebody alone.
[[nodiscard]] std::string others_of_group(const std::vector<std::string>& ids);

/// The ids of a group among results with a member `person`.
template <class Result>
[[nodiscard]] std::vector<std::string> ids_of_group(const std::vector<Result>& results,
                                                    const PeopleTogether& group) {
    std::vector<std::string> ids;
    ids.reserve(group.size());
    for (const std::size_t n : group)
        ids.push_back(results[n].person->id);
    return ids;
}

/// A warning with whom it concerns in front: "for p01 and p02: …", "for everyone: …" where that is
/// all people of a plan with several; alone where it names nobody.
[[nodiscard]] std::string warning_words(const Warning& warning, std::size_t all_people);

/// Whether it must be asked or looked at before anybody starts: of ages, ears, what a physician
/// decides, and cards that are used no more.
[[nodiscard]] bool is_asked_before(const Warning& warning);

/// All of those in one sentence, each in its first words; empty without any.
[[nodiscard]] std::string asked_before_in_short(const Assessment& assessment);

}  // namespace earbudget::report
