#include "measurement/step_levels.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace earbudget {

std::vector<double> step_levels(std::span<const float> mean_square) {
    constexpr double silence = 1e-15;  // below the rounding noise of 24 bits
    std::vector<double> levels;
    levels.reserve(mean_square.size());
    for (const float x : mean_square)
        levels.push_back(10.0 * std::log10(std::max(static_cast<double>(x), silence)));
    return levels;
}

double percentile(std::vector<double> values, double part) {
    const auto last = static_cast<double>(values.size() - 1);
    const auto place = values.begin() + static_cast<std::ptrdiff_t>(std::lround(part * last));
    std::nth_element(values.begin(), place, values.end());
    return *place;
}

}  // namespace earbudget
