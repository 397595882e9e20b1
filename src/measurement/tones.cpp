#include "earbudget/measurement/tones.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>

#include "earbudget/measurement/full_scale.hpp"
#include "measurement/harmonics.hpp"

namespace earbudget {

namespace {

constexpr Frequency lowest_tone{20.0};
constexpr double highest_part = 0.45;  // of the sampling rate
constexpr std::size_t most_tones = 50;
constexpr LevelDifference faintest{-60.0};  // re the strongest

// A tone's energy lies within three bins of it for the window of SpectrumMeter, to 0.001 dB.
constexpr std::size_t half_width = 3;

// Quieter than three quarters of the bins around: noise also between harmonics close to each other.
constexpr double quiet_part = 0.25;
// The quarter that lies lowest of squares of random numbers, as a part of their mean, for a few
// windows averaged; with more it tends to 1 and the noise is taken for a little too loud.
constexpr double quiet_to_mean = 0.7;
constexpr std::size_t fewest_bins = 31;

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

std::size_t half_critical_band(const PowerSpectrum& spectrum, std::size_t bin) {
    const Frequency f = static_cast<double>(bin) * spectrum.bin_width;
    const double bins = critical_bandwidth(f) / spectrum.bin_width;
    return std::max(fewest_bins, static_cast<std::size_t>(bins)) / 2;
}

/// Mean square of the noise in one bin, told from the quieter bins of the critical band.
double noise_around(const PowerSpectrum& spectrum, std::size_t bin) {
    const std::size_t half = half_critical_band(spectrum, bin);
    const std::size_t begin = bin > half ? bin - half : 1;
    const std::size_t end = std::min(spectrum.mean_square.size(), bin + half + 1);
    std::vector<double> around(spectrum.mean_square.begin() + static_cast<std::ptrdiff_t>(begin),
                               spectrum.mean_square.begin() + static_cast<std::ptrdiff_t>(end));
    const auto quiet = around.begin() +
                       static_cast<std::ptrdiff_t>(quiet_part * static_cast<double>(around.size()));
    std::nth_element(around.begin(), quiet, around.end());
    return *quiet / quiet_to_mean;
}

bool is_local_maximum(Bins power, std::size_t bin) {
    return power[bin] > 0.0 && power[bin] > power[bin - 1] && power[bin] >= power[bin + 1] &&
           power[bin] > power[bin - 2] && power[bin] >= power[bin + 2];
}

/// A quick look: a prominent tone holds hundreds of times what a bin of noise does, and somewhere
/// within seven bins, half the distance of the closest harmonics, there is noise.
bool stands_out(Bins power, std::size_t bin) {
    constexpr std::size_t reach = 7;
    constexpr double at_least = 30.0;
    const std::size_t begin = bin > reach ? bin - reach : 1;
    const auto around = power.subspan(begin, std::min(power.size(), bin + reach + 1) - begin);
    return power[bin] >= at_least * *std::ranges::min_element(around);
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
    const Frequency f = peak.position * spectrum.bin_width;
    const double band = peak.noise * (critical_bandwidth(f) / spectrum.bin_width);
    // Without any noise, as in a synthetic signal, a tone is as prominent as can be stated.
    constexpr double most = 1e20;
    return difference_of_energy_ratio(std::min(most, peak.mean_square / std::max(band, 1e-300)));
}

std::vector<Peak> prominent_peaks(const PowerSpectrum& spectrum) {
    const Bins power = spectrum.mean_square;
    const double rate = 2.0 * static_cast<double>(power.size() - 1);  // in bins
    const auto first =
        std::max(half_width + 1, static_cast<std::size_t>(lowest_tone / spectrum.bin_width));
    const auto last = static_cast<std::size_t>(highest_part * rate);
    const double strongest = power.empty() ? 0.0 : *std::ranges::max_element(power.subspan(1));
    const double faintest_bin = strongest * energy_ratio(faintest) / 4.0;
    std::vector<Peak> peaks;
    for (std::size_t bin = first; bin <= last && bin + half_width < power.size(); ++bin) {
        if (power[bin] < faintest_bin || !is_local_maximum(power, bin)) continue;
        if (!stands_out(power, bin)) continue;
        const Peak peak = measured(power, bin, noise_around(spectrum, bin));
        const Frequency f = peak.position * spectrum.bin_width;
        if (above_noise(spectrum, peak) >= prominent_from(f)) peaks.push_back(peak);
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
        if (!made && !faint && kept.size() < most_tones) kept.push_back(peak);
    }
    std::ranges::sort(kept, {}, &Peak::position);
    return kept;
}

}  // namespace

Frequency critical_bandwidth(Frequency f) {
    const double kHz = f.Hz() / 1000.0;
    return Frequency(25.0 + 75.0 * std::pow(1.0 + 1.4 * kHz * kHz, 0.69));
}

LevelDifference prominent_from(Frequency f) {
    constexpr Frequency level_from{1000.0};
    const double lower = f < level_from ? 8.33 * std::log10(level_from / f) : 0.0;
    return LevelDifference(8.0 + lower);
}

Tonality find_tones(const PowerSpectrum& spectrum) {
    Tonality result;
    if (spectrum.mean_square.size() < 4 * half_width) return result;
    for (const Peak& peak : without_leakage(prominent_peaks(spectrum))) {
        const auto level = level_of_mean_square(peak.mean_square);
        if (!level) continue;
        result.tones.push_back({.frequency = peak.position * spectrum.bin_width,
                                .level = *level,
                                .above_noise = above_noise(spectrum, peak)});
    }
    result.fundamental = number_harmonics(result.tones, 0.75 * spectrum.bin_width);
    return result;
}

}  // namespace earbudget
