#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// A sequence in two versions of a protocol; none where one does not run it.
struct SequenceChange {
    std::string id;
    std::optional<Seconds> before = std::nullopt, after = std::nullopt;  ///< in one session
    std::optional<LevelA> LAeq_before = std::nullopt, LAeq_after = std::nullopt;
    /// Owned by the plans; null where one has no such card.
    const Sequence *card_before = nullptr, *card_after = nullptr;

    [[nodiscard]] bool is_any() const {
        return before != after || (before && after && is_card_changed());
    }
    /// Whether both have the card, with other levels.
    [[nodiscard]] bool is_card_changed() const;
    /// The same of its octave bands alone.
    [[nodiscard]] bool are_octaves_changed() const;
};

/// One limit of a person in two versions; none where one does not judge it.
struct CriterionChange {
    const CriterionResult* before = nullptr;  ///< owned by the assessments
    const CriterionResult* after = nullptr;
};

/// A person in two versions of a plan, known by the id; null where one has no such person.
struct PersonChange {
    std::string id;
    const PersonResult* before = nullptr;  ///< owned by the assessments
    const PersonResult* after = nullptr;
    std::vector<CriterionChange> criteria = {};

    /// By how much LEX,8h at the ear rose; none without sound in either.
    [[nodiscard]] std::optional<LevelDifference> change() const;
    /// What is worn, in either order.
    [[nodiscard]] bool wears_otherwise() const;
};

/// What changed between two versions of a plan. Points into both assessments, which must outlive
/// it.
struct Comparison {
    const Assessment* before;
    const Assessment* after;
    std::vector<SequenceChange> sequences = {};  ///< those that changed
    Seconds session_before{0.0}, session_after{0.0};
    std::vector<PersonChange> people = {};  ///< in the order of the later plan, then those gone
};

[[nodiscard]] Comparison compare(const Assessment& before, const Assessment& after);

}  // namespace earbudget
