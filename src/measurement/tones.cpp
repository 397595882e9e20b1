#include "earbudget/measurement/tones.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <numeric>
#include <span>

#include "earbudget/measurement/critical_band.hpp"
#include "earbudget/measurement/full_scale.hpp"
#include "earbudget/measurement/harmonics.hpp"

namespace earbudget {

namespace {

constexpr Frequency lowest_tone{20.0};
constexpr double highest_part = 0.45;  // of the sampling rate
constexpr std::size_t most_tones = 50;
constexpr LevelDifference faintest{-60.0};  // re the strongest, and re the whole sound

// A tone's energy lies within three bins of it for the window of SpectrumMeter, to 0.001 dB.
constexpr std::size_t half_width = 3;
// Further out its window still shows above the noise.
constexpr std::size_t skirt = 6;

// Quieter than three quarters of the bins around: noise also between harmonics close to each other.
constexpr double quiet_part = 0.25;
// From here on a bin belongs to a line; of the noise in a few windows hardly any bin does.
constexpr double line_re_quiet = 6.0;
constexpr std::size_t fewest_bins = 16;

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

double width_of(const CriticalBand& band) { return band.to.Hz() - band.from.Hz(); }

/// Mean square of the noise in one bin: the mean of those bins that hold no line, which is told
/// from the quieter quarter.
double noise_in(Bins bins) {
    std::vector<double> sorted(bins.begin(), bins.end());
    const auto quiet = sorted.begin() +
                       static_cast<std::ptrdiff_t>(quiet_part * static_cast<double>(sorted.size()));
    std::nth_element(sorted.begin(), quiet, sorted.end());
    const double line_from = line_re_quiet * *quiet;
    double sum = 0.0;
    double count = 0.0;
    for (const double bin : bins) {
        if (bin > line_from) continue;
        sum += bin;
        count += 1.0;
    }
    return sum / count;
}

/// The noise on the louder side of a peak, over half of its critical band.
double noise_around(const PowerSpectrum& spectrum, std::size_t bin) {
    const Frequency f = static_cast<double>(bin) * spectrum.bin_width;
    const auto half = std::max(
        fewest_bins,
        static_cast<std::size_t>(0.5 * width_of(critical_band(f)) / spectrum.bin_width.Hz()));
    const Bins power = spectrum.mean_square;
    const std::size_t end = bin > skirt ? bin - skirt : 1;
    const std::size_t begin = end > half ? end - half : 1;
    const std::size_t after = bin + skirt + 1;
    const bool room_below = end >= begin + fewest_bins / 2;
    const bool room_above = after + fewest_bins / 2 <= power.size();
    const double below = room_below ? noise_in(power.subspan(begin, end - begin)) : 0.0;
    const double above =
        room_above ? noise_in(power.subspan(after, std::min(half, power.size() - after))) : 0.0;
    return std::max(below, above);
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
    const CriticalBand band = critical_band(peak.position * spectrum.bin_width);
    const double noise = peak.noise * width_of(band) / spectrum.bin_width.Hz();
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
        if (!stands_out(power, bin)) continue;
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
