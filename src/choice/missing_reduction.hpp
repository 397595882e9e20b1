#pragma once

#include <optional>

#include "earbudget/day/hearing_day.hpp"

namespace earbudget {

/// How much more reduction than now keeps every exposure limit that counts for protection, to the
/// next tenth of a decibel; none where no reduction that people can get would.
[[nodiscard]] std::optional<LevelDifference> missing_reduction(const Person& person,
                                                               const HearingDay& day);

}  // namespace earbudget
