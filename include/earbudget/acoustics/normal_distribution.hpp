#pragma once

#include <cmath>
#include <numbers>

namespace earbudget {

/// Probability that a standard normal variable is at most `z`.
[[nodiscard]] inline double normal_probability(double z) {
    return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

/// The z that a standard normal variable does not exceed with `probability`, 0 < probability < 1.
[[nodiscard]] inline double normal_quantile(double probability) {
    // Halving holds to the last bit everywhere and is never in a hot loop.
    double low = -40.0;
    double high = 40.0;
    for (int step = 0; step < 120; ++step) {
        const double middle = 0.5 * (low + high);
        (normal_probability(middle) < probability ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace earbudget
