#pragma once

#include "earbudget/acoustics/arithmetic_slack.hpp"

namespace earbudget {

/// The probability of being over that may not be exceeded for a verdict of "within", unless a plan
/// says otherwise: 5 % (own choice, as in the one-sided 95 % of ISO 9612, annex C; memory).
inline constexpr double accepted_probability_by_default = 0.05;

/// What a plan may accept, percent.
inline constexpr double lowest_accepted_percent = 0.1;
inline constexpr double highest_accepted_percent = 50.0;

/// Whether a probability is above an accepted one, not merely by its arithmetic.
[[nodiscard]] constexpr bool is_above(double probability, double accepted) {
    return probability > accepted + arithmetic_slack;
}

}  // namespace earbudget
