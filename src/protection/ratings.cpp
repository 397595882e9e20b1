#include "earbudget/protection/ratings.hpp"

#include <array>
#include <cmath>

#include "earbudget/acoustics/frequency_weighting.hpp"

namespace earbudget {

namespace {

constexpr std::size_t first_band = index_of(OctaveBand::Hz63);
constexpr std::size_t band_count = 8;

struct ReferenceNoise {
    std::array<double, band_count> LA;  // A-weighted octave-band levels, 63 Hz to 8 kHz, dB
    double d;                           // its regression weight
};

// ISO 4869-2, table 2: noises of 100 dB(A) for H and M (memory; each row sums to 100 ± 0.04 dB(A)
// and reproduces its LC − LA; from 125 Hz seen in a national adoption).
constexpr std::array<ReferenceNoise, 8> reference_noises = {{
    {{51.4, 62.6, 70.8, 81.0, 90.4, 96.2, 94.7, 92.3}, -1.20},
    {{59.5, 68.9, 78.3, 84.3, 92.8, 96.3, 94.0, 90.0}, -0.49},
    {{59.8, 71.1, 80.8, 88.0, 95.0, 94.4, 94.1, 89.0}, 0.14},
    {{65.4, 77.2, 84.5, 89.8, 95.5, 94.3, 92.5, 88.8}, 1.56},
    {{65.3, 77.4, 86.5, 92.5, 96.4, 93.0, 90.4, 83.7}, -2.98},
    {{70.7, 82.0, 89.3, 93.3, 95.6, 93.0, 90.1, 83.0}, -1.01},
    {{75.6, 84.2, 90.1, 93.6, 96.2, 91.3, 87.9, 81.9}, 0.85},
    {{77.6, 88.0, 93.4, 93.8, 94.2, 91.4, 87.9, 79.9}, 3.14},
}};

// ISO 4869-2, clause 7: slopes of the regressions read at LC − LA of −2, +2 and +10 dB (memory).
constexpr double slope_H = 0.48;
constexpr double slope_M = 0.16;
constexpr double slope_L = 0.23;

// ISO 4869-2, clause 8: pink noise of 100 dB(C) has 91.5 dB in each octave band (memory).
constexpr double snr_band_level = 91.5;

template <class AWeightedBandLevel>
std::vector<RatingBand> bands_of(const OctaveAttenuation& attenuation, double alpha,
                                 AWeightedBandLevel level_at) {
    std::vector<RatingBand> bands;
    for (std::size_t i = 0; i < band_count; ++i) {
        const OctaveBand band = octave_bands[first_band + i];
        if (!attenuation.has(band)) continue;
        bands.push_back(
            {band, level_at(i, band), attenuation.assumed_protection_value(band, alpha).dB()});
    }
    return bands;
}

double pink_noise_level(std::size_t, OctaveBand band) {
    return snr_band_level + a_weighting(band).dB();
}

// 100 dB minus the level under the protector: 100 − 10 lg Σ 10^((LA,f − APVf)/10).
template <class AWeightedBandLevel>
double noise_reduction(const OctaveAttenuation& attenuation, double alpha,
                       AWeightedBandLevel level_at) {
    double energy = 0.0;
    for (std::size_t i = 0; i < band_count; ++i) {
        const OctaveBand band = octave_bands[first_band + i];
        if (!attenuation.has(band)) continue;
        const double apv = attenuation.assumed_protection_value(band, alpha).dB();
        energy += std::pow(10.0, (level_at(i, band) - apv) / 10.0);
    }
    return 100.0 - 10.0 * std::log10(energy);
}

}  // namespace

Hml compute_hml(const OctaveAttenuation& attenuation, double alpha) {
    std::array<double, reference_noises.size()> pnr{};
    for (std::size_t i = 0; i < pnr.size(); ++i) {
        const auto& noise = reference_noises[i];
        pnr[i] = noise_reduction(attenuation, alpha,
                                 [&](std::size_t band, OctaveBand) { return noise.LA[band]; });
    }
    double mean_high = 0.0;  // noises 1 to 4
    double slope_high = 0.0;
    double mean_low = 0.0;  // noises 5 to 8
    double slope_low = 0.0;
    for (std::size_t i = 0; i < 4; ++i) {
        mean_high += 0.25 * pnr[i];
        slope_high += reference_noises[i].d * pnr[i];
        mean_low += 0.25 * pnr[i + 4];
        slope_low += reference_noises[i + 4].d * pnr[i + 4];
    }
    return {LevelDifference(mean_high - slope_H * slope_high),
            LevelDifference(mean_low - slope_M * slope_low),
            LevelDifference(mean_low + slope_L * slope_low)};
}

LevelDifference compute_snr(const OctaveAttenuation& attenuation, double alpha) {
    return LevelDifference(noise_reduction(attenuation, alpha, pink_noise_level));
}

std::array<NoiseReduction, 8> noise_reductions(const OctaveAttenuation& attenuation, double alpha) {
    std::array<NoiseReduction, 8> reductions;
    for (std::size_t n = 0; n < reductions.size(); ++n) {
        const ReferenceNoise& noise = reference_noises[n];
        const auto level_at = [&](std::size_t band, OctaveBand) { return noise.LA[band]; };
        reductions[n] = {noise.d, LevelDifference(noise_reduction(attenuation, alpha, level_at)),
                         bands_of(attenuation, alpha, level_at)};
    }
    return reductions;
}

std::vector<RatingBand> bands_of_snr(const OctaveAttenuation& attenuation, double alpha) {
    return bands_of(attenuation, alpha, pink_noise_level);
}

LevelDifference rounded_as_label(LevelDifference rating) {
    return LevelDifference(std::round(rating.dB()) + 0.0);  // no "-0"
}

}  // namespace earbudget
