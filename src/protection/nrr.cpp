#include "earbudget/protection/nrr.hpp"

#include <cmath>

#include "earbudget/acoustics/frequency_weighting.hpp"

namespace earbudget {

namespace {

// 40 CFR 211.207, figure 2: pink noise of 100 dB in each octave band from 125 Hz to 8 kHz.
constexpr double band_level = 100.0;
// The same noise, C-weighted, as figure 2 prints it.
constexpr double c_weighted_level = 107.9;
// For what the spectrum of a workplace may do worse than pink noise.
constexpr double spectral_uncertainty = 3.0;

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

LevelDifference compute_nrr(const OctaveAttenuation& attenuation) {
    double energy = 0.0;
    for (const OctaveBand band : octave_bands) {
        if (!bands_from_125_Hz().test(index_of(band))) continue;
        const double level =
            band_level + a_weighting(band).dB() - attenuation_of_most(attenuation, band);
        energy += std::pow(10.0, level / 10.0);
    }
    return LevelDifference(c_weighted_level - 10.0 * std::log10(energy) - spectral_uncertainty);
}

std::vector<RatingBand> bands_of_nrr(const OctaveAttenuation& attenuation) {
    std::vector<RatingBand> bands;
    for (const OctaveBand band : octave_bands) {
        if (!bands_from_125_Hz().test(index_of(band))) continue;
        bands.push_back(
            {band, band_level + a_weighting(band).dB(), attenuation_of_most(attenuation, band)});
    }
    return bands;
}

LevelDifference rounded_as_nrr_label(LevelDifference rating) {
    return LevelDifference(std::ceil(rating.dB() - 0.5));
}

}  // namespace earbudget
