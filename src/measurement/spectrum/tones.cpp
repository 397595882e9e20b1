#include "earbudget/measurement/spectrum/tones.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <numeric>
#include <span>

#include "earbudget/measurement/meters/sample_source.hpp"
#include "measurement/spectrum/line_spectrum.hpp"

namespace earbudget {

namespace {

constexpr Frequency kilohertz{1000.0};
constexpr Frequency highest_arithmetic{500.0};

double critical_bandwidth(Frequency tone) {
    const double ratio = tone / kilohertz;
    return 25.0 + 75.0 * std::pow(1.0 + 1.4 * ratio * ratio, 0.69);
}

}  // namespace

CriticalBand critical_band(Frequency tone) {
    const double width = critical_bandwidth(tone);
    const double centre = tone <= highest_arithmetic
                              ? tone.Hz()
                              : std::sqrt(tone.Hz() * tone.Hz() + 0.25 * width * width);
    const double from = std::max(0.0, centre - 0.5 * width);
    return {Frequency(from), Frequency(from + width)};
}

LevelDifference prominent_tone_to_noise_ratio(Frequency tone) {
    constexpr LevelDifference from_1_kHz{8.0};
    constexpr LevelDifference per_decade_below{8.33};
    return from_1_kHz + std::max(0.0, std::log10(kilohertz / tone)) * per_decade_below;
}

namespace {

constexpr Frequency lowest_tone{20.0};
constexpr double highest_part = 0.45;  // of the sampling rate
constexpr std::size_t most_tones = 50;
constexpr LevelDifference faintest{-60.0};  // re the strongest, and re the whole sound

// A tone's energy lies within three bins of it for the window of SpectrumMeter, to 0.001 dB.
constexpr std::size_t half_width = 3;

/// What the window lets through of a tone `bins` away, measured: −39 dB at 3, −63 dB at 8, −98 dB
/// at 32; and ten decibels more for the ends of a recording.
double window_leakage(double bins) {
    constexpr double at_three = 1.6e-3;
    constexpr double slope = 5.8;
    return bins <= 3.0 ? 1.0 : at_three * std::pow(3.0 / bins, slope);
}

struct Peak {
    std::size_t bin;
    double position;     // in bins
    double mean_square;  // without the noise
    double noise;        // of a bin
};

using Bins = std::span<const double>;

bool is_local_maximum(Bins power, std::size_t bin) {
    return power[bin] > 0.0 && power[bin] > power[bin - 1] && power[bin] >= power[bin + 1] &&
           power[bin] > power[bin - 2] && power[bin] >= power[bin + 2];
}

/// A tone is a line, not the crest of a band: within four bins on either side there is a valley.
bool stands_out(Bins power, std::size_t bin) {
    constexpr std::size_t reach = 4;
    constexpr double at_least = 12.0;
    const std::size_t below = bin > reach ? bin - reach : 0;
    const auto left = power.subspan(below, bin - 1 - below);
    const auto right = power.subspan(bin + 2, std::min(power.size(), bin + reach + 1) - (bin + 2));
    return power[bin] >=
           at_least * std::max(*std::ranges::min_element(left), *std::ranges::min_element(right));
}

/// Square bins about the centre of gravity of the five bins of a peak: 0.31 for a steady tone
/// (pi^2 / 32 for this window), 2 for an even band.
bool is_narrow(Bins power, std::size_t bin) {
    constexpr double broadest = 1.9;
    double sum = 0.0;
    double first = 0.0;
    double second = 0.0;
    for (int offset = -2; offset <= 2; ++offset) {
        const double p = power[bin + 2 - static_cast<std::size_t>(2 - offset)];
        sum += p;
        first += offset * p;
        second += offset * offset * p;
    }
    const double mean = first / sum;
    return second / sum - mean * mean <= broadest;
}

/// The bins of a peak, as far as they fall: a neighbouring tone has its own.
Peak measured(Bins power, std::size_t bin, double noise) {
    Peak peak{bin, 0.0, 0.0, noise};
    double moment = 0.0;
    const auto take = [&](std::size_t k) {
        const double own = std::max(0.0, power[k] - noise);
        peak.mean_square += own;
        moment += own * (static_cast<double>(k) - static_cast<double>(bin));
    };
    take(bin);
    for (std::size_t k = 1; k <= half_width && power[bin + k] <= power[bin + k - 1]; ++k)
        take(bin + k);
    for (std::size_t k = 1; k <= half_width && power[bin - k] <= power[bin - k + 1]; ++k)
        take(bin - k);
    peak.position = static_cast<double>(bin) + moment / std::max(peak.mean_square, 1e-300);
    return peak;
}

LevelDifference above_noise(const PowerSpectrum& spectrum, const Peak& peak) {
    const CriticalBand band = critical_band(peak.position * spectrum.bin_width);
    const double noise = peak.noise * (band.to.Hz() - band.from.Hz()) / spectrum.bin_width.Hz();
    // Without any noise, as in a synthetic signal, a tone is as prominent as can be stated.
    constexpr double most = 1e20;
    return difference_of_energy_ratio(std::min(most, peak.mean_square / std::max(noise, 1e-300)));
}

std::vector<Peak> prominent_peaks(const PowerSpectrum& spectrum) {
    const Bins power = spectrum.mean_square;
    const double rate = 2.0 * static_cast<double>(power.size() - 1);  // in bins
    const auto first =
        std::max(half_width + 1, static_cast<std::size_t>(lowest_tone / spectrum.bin_width));
    const auto last = static_cast<std::size_t>(highest_part * rate);
    const double strongest = power.empty() ? 0.0 : *std::ranges::max_element(power.subspan(1));
    const double faintest_bin = strongest * energy_ratio(faintest) / 4.0;
    const double faintest_tone =
        energy_ratio(faintest) * std::accumulate(power.begin() + 1, power.end(), 0.0);
    std::vector<Peak> peaks;
    for (std::size_t bin = first; bin <= last && bin + half_width < power.size(); ++bin) {
        if (power[bin] < faintest_bin || !is_local_maximum(power, bin)) continue;
        if (!stands_out(power, bin) || !is_narrow(power, bin)) continue;
        const Peak peak = measured(power, bin, noise_around(spectrum, bin));
        const Frequency f = peak.position * spectrum.bin_width;
        if (peak.mean_square < faintest_tone) continue;
        if (above_noise(spectrum, peak) >= prominent_tone_to_noise_ratio(f)) peaks.push_back(peak);
    }
    return peaks;
}

/// Without what the windows of stronger tones could have made.
std::vector<Peak> without_leakage(std::vector<Peak> peaks) {
    std::ranges::sort(peaks, std::greater{}, &Peak::mean_square);
    std::vector<Peak> kept;
    for (const Peak& peak : peaks) {
        const bool made = std::ranges::any_of(kept, [&](const Peak& stronger) {
            const double distance = std::abs(stronger.position - peak.position);
            return peak.mean_square < stronger.mean_square * window_leakage(distance);
        });
        const bool faint =
            !kept.empty() && peak.mean_square < kept.front().mean_square * energy_ratio(faintest);
        if (!made && !faint) kept.push_back(peak);
    }
    std::ranges::sort(kept, {}, &Peak::position);
    return kept;
}

void keep_strongest(std::vector<Tone>& tones) {
    if (tones.size() <= most_tones) return;
    std::ranges::stable_sort(tones, std::greater{}, [](const Tone& t) { return t.level.dB(); });
    tones.resize(most_tones, tones.front());
    std::ranges::sort(tones, {}, [](const Tone& t) { return t.frequency.Hz(); });
}

}  // namespace

Tones find_tones(const PowerSpectrum& spectrum) {
    Tones result;
    if (spectrum.mean_square.size() < 4 * half_width) return result;
    for (const Peak& peak : without_leakage(prominent_peaks(spectrum))) {
        const auto level = level_of_mean_square(peak.mean_square);
        if (!level) continue;
        result.tones.push_back({.frequency = peak.position * spectrum.bin_width,
                                .level = *level,
                                .above_noise = above_noise(spectrum, peak)});
    }
    // Numbered first: which of a long series are the strongest must not matter.
    result.fundamental = number_harmonics(result.tones);
    keep_strongest(result.tones);
    return result;
}

}  // namespace earbudget
