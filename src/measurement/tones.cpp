#include "earbudget/measurement/tones.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "earbudget/measurement/critical_band.hpp"
#include "earbudget/measurement/full_scale.hpp"
#include "earbudget/measurement/harmonics.hpp"
#include "measurement/spectral_lines.hpp"

namespace earbudget {

namespace {

constexpr std::size_t most_tones = 50;
constexpr LevelDifference weakest{-60.0};         // re the strongest tone, and re the whole sound
constexpr LevelDifference clearest{120.0};        // above noise
constexpr LevelDifference apart_from_noise{0.0};  // from here on a line is none of the noise

// How far from a line, in bins, its window and its wavering spoil the noise.
constexpr std::size_t reach = 6;

struct Found {
    Tone tone;
    Frequency bin_width;
};

/// Bins between two frequencies, `end` excluded.
struct Bins {
    std::size_t begin;
    std::size_t end;
};

Bins bins_between(const PowerSpectrum& spectrum, Frequency from, Frequency to) {
    const auto bin = [&](Frequency f) {
        const double nearest = std::round(std::max(0.0, f / spectrum.bin_width));
        return std::min(static_cast<std::size_t>(nearest), spectrum.mean_square.size());
    };
    return {bin(from), std::min(bin(to) + 1, spectrum.mean_square.size())};
}

/// Bins that belong to lines and not to the noise: their skirts and all bins up to `reach` away.
std::vector<bool> bins_of(const std::vector<SpectralLine>& lines, std::size_t size) {
    std::vector<bool> taken(size, false);
    for (const SpectralLine& line : lines) {
        const auto centre = static_cast<std::size_t>(std::lround(line.position));
        const std::size_t first = std::min(line.first, centre - std::min(centre, reach));
        const std::size_t last = std::min(std::max(line.last, centre + reach), size - 1);
        for (std::size_t k = first; k <= last; ++k)
            taken[k] = true;
    }
    return taken;
}

/// Level of a line above the noise in its critical band; the spectrum is trusted within the part.
LevelDifference above_noise(const SpectrumPart& part, const std::vector<bool>& taken,
                            const SpectralLine& line) {
    const PowerSpectrum& spectrum = part.spectrum;
    const CriticalBand band = critical_band(line.position * spectrum.bin_width);
    const Bins bins =
        bins_between(spectrum, std::max(band.from, part.from), std::min(band.to, part.to));
    double sum = 0.0;
    std::size_t count = 0;
    for (std::size_t k = bins.begin; k < bins.end; ++k) {
        if (taken[k]) continue;
        sum += spectrum.mean_square[k];
        ++count;
    }
    constexpr std::size_t fewest = 3;
    const double per_bin = count < fewest ? line.floor : sum / static_cast<double>(count);
    const double noise = per_bin * (band.to.Hz() - band.from.Hz()) / spectrum.bin_width.Hz();
    const double ratio = line.mean_square / energy_ratio(clearest);
    return difference_of_energy_ratio(line.mean_square / std::max(noise, ratio));
}

std::vector<Found> prominent_tones(const SpectrumPart& part) {
    const PowerSpectrum& spectrum = part.spectrum;
    const Bins bins = bins_between(spectrum, part.from, part.to);
    if (bins.begin >= bins.end) return {};
    auto lines = spectral_lines(spectrum.mean_square, bins.begin, bins.end - 1);
    const auto at_first = bins_of(lines, spectrum.mean_square.size());
    std::erase_if(lines, [&](const SpectralLine& line) {
        return above_noise(part, at_first, line) < apart_from_noise;
    });

    // Chance peaks are gone and count as noise again.
    const auto taken = bins_of(lines, spectrum.mean_square.size());
    std::vector<Found> found;
    for (const SpectralLine& line : lines) {
        const Frequency frequency = line.position * spectrum.bin_width;
        const auto level = level_of_mean_square(line.mean_square);
        const LevelDifference above = above_noise(part, taken, line);
        if (!level || above < prominent_tone_to_noise_ratio(frequency)) continue;
        found.push_back({Tone{frequency, *level, above}, spectrum.bin_width});
    }
    return found;
}

/// Where parts meet, both may have found a tone: that of the finer one stays.
void drop_duplicates(std::vector<Found>& found) {
    const auto copies = found;
    std::erase_if(found, [&](const Found& here) {
        return std::any_of(copies.begin(), copies.end(), [&](const Found& other) {
            const double distance = std::abs(here.tone.frequency.Hz() - other.tone.frequency.Hz());
            return other.bin_width < here.bin_width && distance <= here.bin_width.Hz();
        });
    });
}

/// Mean square of what the parts hold.
double whole_sound(std::span<const SpectrumPart> parts) {
    double sum = 0.0;
    for (const SpectrumPart& part : parts) {
        const Bins bins = bins_between(part.spectrum, part.from, part.to);
        for (std::size_t k = bins.begin; k < bins.end; ++k)
            sum += part.spectrum.mean_square[k];
    }
    return sum;
}

bool is_stronger(const Tone& a, const Tone& b) {
    return a.level != b.level ? a.level > b.level : a.frequency < b.frequency;
}

bool is_lower(const Tone& a, const Tone& b) { return a.frequency < b.frequency; }

}  // namespace

Tones find_tones(std::span<const SpectrumPart> parts) {
    std::vector<Found> found;
    for (const SpectrumPart& part : parts) {
        const auto of_part = prominent_tones(part);
        found.insert(found.end(), of_part.begin(), of_part.end());
    }
    drop_duplicates(found);

    Tones result;
    for (const Found& one : found)
        result.tones.push_back(one.tone);
    if (result.tones.empty()) return result;
    std::sort(result.tones.begin(), result.tones.end(), is_stronger);
    const LevelFS strongest = result.tones.front().level;
    const LevelFS least =
        std::max(strongest, level_of_mean_square(whole_sound(parts)).value_or(strongest)) + weakest;
    std::erase_if(result.tones, [&](const Tone& tone) { return tone.level < least; });

    // Numbered first: which of a long series are the strongest must not matter.
    std::sort(result.tones.begin(), result.tones.end(), is_lower);
    result.fundamental = number_harmonics(result.tones);
    if (result.tones.size() > most_tones) {
        std::sort(result.tones.begin(), result.tones.end(), is_stronger);
        result.tones.erase(result.tones.begin() + most_tones, result.tones.end());
        std::sort(result.tones.begin(), result.tones.end(), is_lower);
    }
    return result;
}

}  // namespace earbudget
