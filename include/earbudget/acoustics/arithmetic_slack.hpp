#pragma once

#include "earbudget/acoustics/level_difference.hpp"

namespace earbudget {

/// By how much a value may pass a limit that it equals on paper: rounding of a few hundred sums,
/// and of decimals as typed, which are no exact binary numbers. Relative for amounts, absolute for
/// probabilities and counts.
inline constexpr double arithmetic_slack = 1e-9;

/// The same of levels, dB.
inline constexpr LevelDifference level_slack{1e-9};

}  // namespace earbudget
