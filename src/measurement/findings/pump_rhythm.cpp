
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>
#include <vector>

#include "earbudget/measurement/findings/steadiness.hpp"
#include "measurement/spectrum/line_spectrum.hpp"

namespace earbudget {

namespace {

// What follows is ours.
constexpr double slowest_Hz = 1.0;
constexpr double fastest_Hz = 4.0;
constexpr Seconds shortest_history{8.0};  // at 1 Hz lines that lie apart need this
constexpr Seconds longest_heard{600.0};
constexpr double smallest_swing = 0.5;          // dB
constexpr double greatest_above_median = 20.0;  // dB re median: one bang must not fill the spectrum
constexpr double odds_against = 1e6;
constexpr int slowest_divisor = 12;  // of a slower rhythm, of which a harmonic was found

/// Levels of the steps judged, without extremes.
std::vector<double> tamed_levels(const LevelHistory& history) {
    const auto most = static_cast<std::size_t>(longest_heard / history.step);
    const std::span<const float> all(history.mean_square);
    std::vector<double> levels = step_levels(all.first(std::min(all.size(), most)));
    const double median = percentile(levels, 0.5);
    for (double& level : levels)
        level = std::clamp(level, median - greatest_above_median, median + greatest_above_median);
    return levels;
}

struct Candidate {
    double hertz;
    double unlikelihood;
};

Candidate likeliest(const LineSpectrum& spectrum) {
    Candidate best{slowest_Hz, 0.0};
    const double highest = std::min(fastest_Hz, spectrum.highest_Hz());
    for (double f = slowest_Hz; f <= highest; f += spectrum.spacing_Hz()) {
        const double here = spectrum.comb_unlikelihood(f);
        if (here > best.unlikelihood) best = {f, here};
    }
    return best;
}

/// Whether there is a slower rhythm, f · j / k with j < k, whose line is stronger than that at f.
bool is_harmonic_of_slower(const LineSpectrum& spectrum, double f, double unlikely) {
    for (int k = 2; k <= slowest_divisor; ++k) {
        for (int j = 1; j < k; ++j) {
            const double slower = f * j / k;
            // Lines nearer to zero or to the line at f than their own width are not apart.
            if (std::min(slower, f - slower) * spectrum.length() < 5.0) continue;
            const double apart = f / k;
            if (spectrum.power(slower) > spectrum.power(f) &&
                spectrum.unlikelihood(slower, apart) > unlikely)
                return true;
        }
    }
    return false;
}

/// How many times faster the rhythm is than f: 2 or 3 if only every second or third line is there.
int times_faster(const LineSpectrum& spectrum, double f, double unlikely) {
    for (const int k : {3, 2}) {
        double strongest = 0.0;
        for (int h = 1; h <= 4 && f * h <= spectrum.highest_Hz(); ++h) {
            if (h % k != 0) strongest = std::max(strongest, spectrum.unlikelihood(f * h, f));
        }
        if (strongest < unlikely) return k;
    }
    return 1;
}

/// Highest minus lowest of the mean stroke.
double mean_swing(std::span<const double> levels, double strokes_per_step) {
    const auto bins = static_cast<std::size_t>(std::lround(1.0 / strokes_per_step));
    std::vector<double> sum(bins, 0.0);
    std::vector<double> count(bins, 0.0);
    for (std::size_t n = 0; n < levels.size(); ++n) {
        const double strokes = strokes_per_step * static_cast<double>(n);
        const double phase = strokes - std::floor(strokes);
        const auto bin =
            std::min(static_cast<std::size_t>(phase * static_cast<double>(bins)), bins - 1);
        sum[bin] += levels[n];
        count[bin] += 1.0;
    }
    double lowest = sum[0] / count[0];
    double highest = lowest;
    for (std::size_t bin = 0; bin < bins; ++bin) {
        if (count[bin] == 0.0) continue;
        lowest = std::min(lowest, sum[bin] / count[bin]);
        highest = std::max(highest, sum[bin] / count[bin]);
    }
    return highest - lowest;
}

}  // namespace

std::optional<PumpRhythm> find_pump_rhythm(const LevelHistory& history) {
    if (!(history.step * static_cast<double>(history.mean_square.size()) >= shortest_history)) {
        return std::nullopt;
    }
    const double step = history.step.count();
    const std::vector<double> levels = tamed_levels(history);
    const LineSpectrum spectrum(levels, step);
    const Candidate best = likeliest(spectrum);
    // As many chances as there are frequencies that do not depend on one another, about.
    const double chances = 4.0 * (fastest_Hz - slowest_Hz) * spectrum.length();
    if (best.unlikelihood < std::log(odds_against * chances)) return std::nullopt;
    const double line_unlikely = std::log(1e4);
    double near_f = best.hertz;
    while (near_f <= fastest_Hz && times_faster(spectrum, near_f, line_unlikely) > 1)
        near_f *= times_faster(spectrum, near_f, line_unlikely);
    if (near_f > fastest_Hz || is_harmonic_of_slower(spectrum, near_f, line_unlikely)) {
        return std::nullopt;
    }
    const double f = spectrum.refined(near_f);
    const double swing = mean_swing(levels, f * step);
    if (swing < smallest_swing) return std::nullopt;
    return PumpRhythm{Seconds(1.0 / f), LevelDifference(swing)};
}

Seconds whole_strokes(const PumpRhythm& rhythm, Seconds duration) {
    if (!(rhythm.period.count() > 0.0) || !(duration.count() > 0.0)) return Seconds(0.0);
    // 0.3 s hold three strokes of 0.1 s, whatever binary fractions say.
    const double strokes = std::floor(duration / rhythm.period + 1e-9);
    return std::min(strokes * rhythm.period, duration);
}

}  // namespace earbudget
