#pragma once

#include <string>

#include <fmt/format.h>

#include "earbudget/study/plan.hpp"

namespace earbudget::report {

/// The probability of being over that a policy accepts, as in "5 %".
[[nodiscard]] inline std::string percent_of_accepted(const Policy& policy) {
    return fmt::format("{:g} %", 100.0 * policy.accepted_probability);
}

/// What is kept then: "the probability of being over at 5 % or less".
[[nodiscard]] inline std::string words_of_accepted(const Policy& policy) {
    return fmt::format("the probability of being over at {} or less", percent_of_accepted(policy));
}

}  // namespace earbudget::report
