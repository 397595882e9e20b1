#pragma once

#include <string>

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// Two figures this many times apart are not said together without the reason.
inline constexpr double far_apart = 20.0;

/// Whether the figure of the best estimate is so much larger than the confident one; so it is too
/// where the confident one is 0.
[[nodiscard]] constexpr bool are_far_apart(double best_estimate, double confident) {
    return best_estimate > 0.0 && best_estimate >= far_apart * confident;
}

/// Why they are: how uncertain the exposure is that is most probably over, and by what most. A
/// sentence with a space before it.
[[nodiscard]] std::string why_far_apart(const PersonResult& result);

}  // namespace earbudget
