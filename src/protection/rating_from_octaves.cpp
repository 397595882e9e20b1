#include "earbudget/protection/rating_from_octaves.hpp"

#include <array>
#include <cmath>
#include <utility>

#include "earbudget/acoustics/bands.hpp"

namespace earbudget {

namespace {

constexpr std::size_t first_band = index_of(OctaveBand::Hz63);
constexpr std::size_t band_count = 8;

struct ReferenceNoise {
    std::array<double, band_count> LA;  // A-weighted octave-band levels, 63 Hz to 8 kHz, dB
    double d;                           // its regression weight
};

// ISO 4869-2:2018, table 2: noises of 100 dB(A) for H, M and L (from 125 Hz seen in a national
// adoption; the 63 Hz column, of the edition of 1994, is memory; each row sums to 100 ± 0.04 dB(A)
// and reproduces its LC − LA).
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

// ISO 4869-2:2018, clause 7: slopes of the regressions read at LC − LA of −2, +2 and +10 dB
// (memory; 48 H, M, L printed in the annexes come out within 0.05 dB).
constexpr double slope_H = 0.48;
constexpr double slope_M = 0.16;
constexpr double slope_L = 0.23;

// ISO 4869-2:2018, clause 8: pink noise from 125 Hz, 100 dB(C) but for 0.05 dB, which the printed
// level is not corrected for (16 printed SNR come out with it).
constexpr double snr_band_level = 92.0;

// ISO 4869-2:1994, clause 8: the same from 63 Hz (memory).
constexpr double snr_band_level_1994 = 91.5;

// Whether a band of the attenuation counts for a rating.
bool counts(const OctaveAttenuation& attenuation, OctaveBand band, RatingEdition edition) {
    return attenuation.has(band) &&
           (edition == RatingEdition::Of1994 || bands_from_125_Hz().test(index_of(band)));
}

/// H, M and L from the predicted noise reductions of the eight noises.
Hml regressed(const std::array<double, 8>& pnr) {
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

// 100 dB minus the level under the protector: 100 − 10 lg Σ 10^((LA,f − APVf)/10).
template <class AWeightedBandLevel>
double noise_reduction(const OctaveAttenuation& attenuation, double alpha, RatingEdition edition,
                       AWeightedBandLevel level_at, std::vector<RatingBand>* bands) {
    double energy = 0.0;
    for (std::size_t i = 0; i < band_count; ++i) {
        const OctaveBand band = octave_bands[first_band + i];
        if (!counts(attenuation, band, edition)) continue;
        const double apv = attenuation.assumed_protection_value(band, alpha).dB();
        energy += std::pow(10.0, (level_at(i, band) - apv) / 10.0);
        if (bands) bands->push_back({band, level_at(i, band), apv});
    }
    return 100.0 - 10.0 * std::log10(energy);
}

// 40 CFR 211.207, figure 2: pink noise of 100 dB in each octave band from 125 Hz to 8 kHz.
constexpr double nrr_band_level = 100.0;
// The same noise, C-weighted, as figure 2 prints it.
constexpr double nrr_c_weighted_level = 107.9;
// For what the spectrum of a workplace may do worse than pink noise.
constexpr double nrr_spectral_uncertainty = 3.0;

std::optional<BandAttenuation> beside(const OctaveAttenuation& attenuation, OctaveBand band) {
    if (band == OctaveBand::Hz4000) return attenuation.at(ExtraBand::Hz3150);
    if (band == OctaveBand::Hz8000) return attenuation.at(ExtraBand::Hz6300);
    return std::nullopt;
}

// Mean attenuation less twice the standard deviation.
double attenuation_of_most(const OctaveAttenuation& attenuation, OctaveBand band) {
    const double mean = attenuation.mean(band).dB();
    const double deviation = attenuation.deviation(band).dB();
    const auto other = beside(attenuation, band);
    if (!other) return mean - 2.0 * deviation;
    return (mean + other->mean.dB()) / 2.0 - (deviation + other->deviation.dB());
}

}  // namespace

Hml compute_hml(const OctaveAttenuation& attenuation, double alpha, RatingEdition edition,
                std::vector<NoiseReduction>* noises) {
    std::array<double, reference_noises.size()> pnr{};
    for (std::size_t i = 0; i < pnr.size(); ++i) {
        const auto& noise = reference_noises[i];
        std::vector<RatingBand> bands;
        pnr[i] = noise_reduction(
            attenuation, alpha, edition,
            [&](std::size_t band, OctaveBand) { return noise.LA[band]; },
            noises ? &bands : nullptr);
        if (noises) noises->push_back({noise.d, LevelDifference(pnr[i]), std::move(bands)});
    }
    return regressed(pnr);
}

LevelDifference compute_snr(const OctaveAttenuation& attenuation, double alpha,
                            RatingEdition edition, std::vector<RatingBand>* bands) {
    const double pink = edition == RatingEdition::Of2018 ? snr_band_level : snr_band_level_1994;
    return LevelDifference(noise_reduction(
        attenuation, alpha, edition,
        [&](std::size_t, OctaveBand band) { return pink + a_weighting(band).dB(); }, bands));
}

LevelDifference rounded_as_label(LevelDifference rating) {
    return LevelDifference(std::round(rating.dB()) + 0.0);  // no "-0"
}

LevelDifference compute_nrr(const OctaveAttenuation& attenuation, std::vector<RatingBand>* bands) {
    double energy = 0.0;
    for (const OctaveBand band : octave_bands) {
        if (!bands_from_125_Hz().test(index_of(band))) continue;
        const double level = nrr_band_level + a_weighting(band).dB();
        const double taken_off = attenuation_of_most(attenuation, band);
        energy += std::pow(10.0, (level - taken_off) / 10.0);
        if (bands) bands->push_back({band, level, taken_off});
    }
    return LevelDifference(nrr_c_weighted_level - 10.0 * std::log10(energy) -
                           nrr_spectral_uncertainty);
}

LevelDifference rounded_as_nrr_label(LevelDifference rating) {
    return LevelDifference(std::ceil(rating.dB() - 0.5));
}

}  // namespace earbudget
