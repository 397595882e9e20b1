#include "earbudget/measurement/steadiness.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <numeric>
#include <span>
#include <vector>

#include "measurement/fourier_value.hpp"

namespace earbudget {

namespace {

constexpr Seconds shortest_judged{2.0};
constexpr std::size_t few_lines = 3;
constexpr std::size_t more_lines = 8;
// Small beside 1 dB, which calibration and instrument leave open: the sum of squares grows by 9 %.
constexpr LevelDifference steady_within{0.3};
constexpr LevelDifference aim{0.2};

double mean_of(std::span<const float> x) {
    return std::accumulate(x.begin(), x.end(), 0.0) / static_cast<double>(x.size());
}

/// The squared Fourier value at `line` turns in all, over the count of values squared: what the
/// variance of the mean is if the spectrum is flat below this line.
double periodogram(std::span<const double> deviations, std::size_t line) {
    const auto count = static_cast<double>(deviations.size());
    const double turn = 2.0 * std::numbers::pi * static_cast<double>(line) / count;
    return squared_fourier_value(deviations, turn) / (count * count);
}

double variance_of_mean(std::span<const float> x, double mean) {
    std::vector<double> deviations;
    for (const float value : x)
        deviations.push_back(static_cast<double>(value) - mean);
    double sum = 0.0;
    double of_few = 0.0;
    for (std::size_t line = 1; line <= more_lines; ++line) {
        sum += periodogram(deviations, line);
        if (line == few_lines) of_few = sum / static_cast<double>(few_lines);
    }
    return std::max(of_few, sum / static_cast<double>(more_lines));
}

}  // namespace

std::optional<Steadiness> steadiness_of(const LevelHistory& history) {
    const std::span<const float> x(history.mean_square);
    const Seconds time = history.step * static_cast<double>(x.size());
    if (time < shortest_judged || x.size() < 5 * more_lines) return std::nullopt;
    const double mean = mean_of(x);
    if (!(mean > 0.0)) return std::nullopt;
    const double relative = std::sqrt(variance_of_mean(x, mean)) / mean;
    const LevelDifference uncertainty(10.0 / std::numbers::ln10 * relative);
    const double ratio = uncertainty.dB() / aim.dB();
    return Steadiness{uncertainty, uncertainty <= steady_within, time * ratio * ratio};
}

}  // namespace earbudget
