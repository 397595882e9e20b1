#include "measurement/harmonics.hpp"

#include <cmath>

namespace earbudget {

namespace {

constexpr std::size_t fewest_members = 3;
constexpr double highest_multiple = 200.0;

/// A series is closer than chance would have it: tones at random lie this near a multiple only in
/// every tenth case or less.
constexpr double greatest_chance = 0.1;

struct Series {
    Frequency fundamental{0.0};
    double score = 0.0;
    std::size_t members = 0;
};

/// Which multiple of `fundamental` a tone is; 0 for none.
unsigned multiple_of(Frequency fundamental, Frequency tone, Frequency tolerance) {
    const double ratio = tone / fundamental;
    const double nearest = std::round(ratio);
    if (nearest < 1.0 || nearest > highest_multiple) return 0;
    // An error of the fundamental counts as often as it is multiplied, up to a bin's width in all.
    const double apart = std::abs(ratio - nearest) * fundamental.Hz();
    return apart <= tolerance.Hz() ? static_cast<unsigned>(nearest) : 0U;
}

/// How much of the tones a series explains: their number and their energy count alike, less what
/// chance would give.
Series series_on(const std::vector<Tone>& tones, Frequency fundamental, Frequency tolerance) {
    const double chance = 2.0 * tolerance.Hz() / fundamental.Hz();
    Series series{.fundamental = fundamental};
    if (chance > greatest_chance) return series;
    double energy = 0.0;
    double all = 0.0;
    for (const Tone& tone : tones) {
        const double own = relative_energy(tone.level);
        all += own;
        if (multiple_of(fundamental, tone.frequency, tolerance) == 0) continue;
        energy += own;
        ++series.members;
    }
    const double part = static_cast<double>(series.members) / static_cast<double>(tones.size());
    series.score = energy / all + part - 2.0 * chance;
    return series;
}

/// The fundamental as the mean of what its harmonics say, the high ones most.
Frequency refined(const std::vector<Tone>& tones, Frequency fundamental, Frequency tolerance) {
    double weights = 0.0;
    double sum = 0.0;
    for (const Tone& tone : tones) {
        const unsigned n = multiple_of(fundamental, tone.frequency, tolerance);
        if (n == 0) continue;
        weights += n * n;
        sum += n * tone.frequency.Hz();
    }
    return weights > 0.0 ? Frequency(sum / weights) : fundamental;
}

}  // namespace

std::optional<Frequency> number_harmonics(std::vector<Tone>& tones, Frequency tolerance) {
    Series best;
    for (const Tone& tone : tones) {
        // Twice, since the second step reaches higher harmonics with a better fundamental.
        const Frequency once = refined(tones, tone.frequency, tolerance);
        const Series series = series_on(tones, refined(tones, once, tolerance), tolerance);
        // A lower one must explain more, not as much: else half of it would do as well.
        constexpr double as_much = 1e-9;
        if (series.members >= fewest_members && series.score > best.score - as_much) best = series;
    }
    if (best.members < fewest_members) return std::nullopt;
    for (Tone& tone : tones)
        tone.harmonic = multiple_of(best.fundamental, tone.frequency, tolerance);
    return best.fundamental;
}

}  // namespace earbudget
