#include "earbudget/excitation/response.hpp"

#include <algorithm>
#include <cmath>

namespace earbudget {

namespace {

constexpr double steps_of_an_octave = 12.0;

std::size_t step_of(std::size_t k) {
    return static_cast<std::size_t>(steps_of_an_octave * std::log2(static_cast<double>(k)));
}

/// The largest magnitudes within an octave on either side of each line, to a twelfth of it.
std::vector<double> largest_within_an_octave(const std::vector<double>& magnitudes) {
    std::vector<double> largest(magnitudes.size(), 0.0);
    if (magnitudes.size() < 2) return largest;
    std::vector<double> steps(step_of(magnitudes.size()) + 1, 0.0);
    for (std::size_t k = 1; k < magnitudes.size(); ++k)
        steps[step_of(k)] = std::max(steps[step_of(k)], magnitudes[k]);
    constexpr auto octave = static_cast<std::size_t>(steps_of_an_octave);
    for (std::size_t k = 1; k < magnitudes.size(); ++k) {
        const std::size_t here = step_of(k);
        const std::size_t last = std::min(here + octave, steps.size() - 1);
        for (std::size_t n = here - std::min(here, octave); n <= last; ++n)
            largest[k] = std::max(largest[k], steps[n]);
    }
    return largest;
}

std::vector<double> magnitudes_of(const AxisResponse& axis, std::size_t bins) {
    std::vector<double> magnitudes(bins, 0.0);
    for (std::size_t k = 0; k < std::min(bins, axis.lines.size()); ++k) {
        if (axis.lines[k]) magnitudes[k] = std::abs(axis.lines[k]->Pa_per_T_per_m);
    }
    return magnitudes;
}

}  // namespace

std::vector<double> largest_expected(const ScannerResponse& response, std::size_t axis,
                                     std::size_t bins) {
    std::vector<double> all(bins, 0.0);
    for (const AxisResponse& each : response.axes) {
        const auto magnitudes = magnitudes_of(each, bins);
        for (std::size_t k = 0; k < bins; ++k)
            all[k] = std::max(all[k], magnitudes[k]);
    }
    const double of_all = all.empty() ? 0.0 : *std::ranges::max_element(all);
    const auto near_all = largest_within_an_octave(all);
    auto largest = largest_within_an_octave(magnitudes_of(response.axes[axis], bins));
    for (std::size_t k = 0; k < bins; ++k) {
        if (largest[k] <= 0.0) largest[k] = near_all[k] > 0.0 ? near_all[k] : of_all;
    }
    return largest;
}

}  // namespace earbudget
