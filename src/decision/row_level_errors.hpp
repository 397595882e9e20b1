#pragma once

#include <optional>
#include <string>

#include "earbudget/decision/heard_row.hpp"

namespace earbudget {

/// The errors of the level of one row outside the protector.
struct RowLevelErrors {
    UncertaintyParts parts;
    std::string measurement;          ///< rows with the same text share instrument and microphone
    LevelDifference difference{0.0};  ///< of the position
    std::string place;                ///< rows with the same text share it
};

/// None for a row without sound.
[[nodiscard]] std::optional<RowLevelErrors> level_errors_of(const Plan& plan, const Person& person,
                                                            const HeardRow& row);

}  // namespace earbudget
