#pragma once

#include <span>
#include <vector>

namespace earbudget {

/// 10 lg of each mean square in dB; silence counts as a mean square of 10⁻¹⁵.
[[nodiscard]] std::vector<double> step_levels(std::span<const float> mean_square);

/// The value that the part `part` (0 to 1) of `values` lies below; `values` has one at least.
[[nodiscard]] double percentile(std::vector<double> values, double part);

}  // namespace earbudget
