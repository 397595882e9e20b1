#include "earbudget/measurement/findings/steadiness.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <numeric>
#include <span>
#include <vector>

#include "earbudget/measurement/spectrum/power_transform.hpp"

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

namespace {

Finding data_beyond_the_header(const SourceState& state, bool accept_length) {
    constexpr double shortest_said = 0.01;
    const auto& beyond = state.time_beyond_header;
    const bool said = beyond && beyond->count() >= shortest_said;
    enum class So { CannotBeTold, Accepted, MayBeAccepted };
    const So so = !state.announced_alone_is_read ? So::CannotBeTold
                  : accept_length                ? So::Accepted
                                                 : So::MayBeAccepted;
    return {QualityCode::DataBeyondTheHeader,
            say<FindingPhrase::BeyondTheHeader>(
                state.bytes_beyond_header,
                said ? say<FindingPhrase::OfSound>(beyond->count()) : Message(), so)};
}

}  // namespace

bool is_whole(const SourceState& state, bool accept_length) {
    return state.bytes_beyond_header == 0 || (accept_length && state.announced_alone_is_read);
}

SourceState both(const SourceState& a, const SourceState& b) {
    // None is less than any.
    return {.loss = std::max(a.loss, b.loss),
            .bytes_beyond_header = a.bytes_beyond_header + b.bytes_beyond_header,
            .time_beyond_header = std::max(a.time_beyond_header, b.time_beyond_header),
            .announced_alone_is_read = a.announced_alone_is_read && b.announced_alone_is_read};
}

std::vector<Finding> findings_on(const SourceState& state, bool accept_length) {
    std::vector<Finding> findings;
    if (state.bytes_beyond_header > 0)
        findings.push_back(data_beyond_the_header(state, accept_length));
    if (state.loss)
        findings.push_back({QualityCode::Lossy, say<FindingPhrase::Lossy>(*state.loss)});
    return findings;
}

}  // namespace earbudget
