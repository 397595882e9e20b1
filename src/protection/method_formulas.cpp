#include "earbudget/protection/method_formulas.hpp"

#include <cmath>

namespace earbudget {

namespace {

LevelA a_level_from_c(LevelC LC, LevelDifference rating) {
    return LevelA((LC - rating).dB());  // these ratings turn a C level into an A level
}

}  // namespace

OctaveMask bands_of_octave_method(OctaveMask sound, OctaveMask protector) {
    OctaveMask bands = bands_from_125_Hz();
    const std::size_t lowest = index_of(OctaveBand::Hz63);
    bands.set(lowest, sound.test(lowest) && protector.test(lowest));
    return bands;
}

LevelA level_by_octave_bands(const OctaveLevelsA& sound, const OctaveAttenuation& attenuation,
                             double alpha) {
    const OctaveMask bands = bands_of_octave_method(sound.bands(), attenuation.bands());
    double energy = 0.0;
    for (const OctaveBand band : octave_bands) {
        if (!bands.test(index_of(band))) continue;
        energy += relative_energy(sound.at(band).value() -
                                  attenuation.assumed_protection_value(band, alpha));
    }
    return level_of_relative_energy<quantity::AWeighted>(energy).value();
}

LevelDifference reduction_by_hml(LevelDifference LC_minus_LA, const Hml& hml) {
    constexpr LevelDifference turning_point{2.0};
    const double above = (LC_minus_LA - turning_point).dB();
    if (above <= 0.0) return hml.M - above / 4.0 * (hml.H - hml.M);
    return hml.M - above / 8.0 * (hml.M - hml.L);
}

LevelDifference reduction_by_hml(LevelDifference LC_minus_LA, const Hml& hml,
                                 const Hml& of_labels) {
    if (LC_minus_LA > highest_of_hml) {
        return hml.L - (LC_minus_LA - highest_of_hml).dB() / 8.0 * (of_labels.M - of_labels.L);
    }
    if (LC_minus_LA < lowest_of_hml) {
        return hml.H + (lowest_of_hml - LC_minus_LA).dB() / 4.0 * (of_labels.H - of_labels.M);
    }
    return reduction_by_hml(LC_minus_LA, hml);
}

LevelA level_by_snr(LevelC LC, LevelDifference SNR) { return a_level_from_c(LC, SNR); }

LevelA level_by_snr_from_A(LevelA LA, LevelDifference SNR) {
    return LA + snr_allowance_with_A - SNR;
}

RangeOfCMinusA range_of_C_minus_A(std::optional<bool> low_frequency) {
    if (!low_frequency) return {lowest_of_hml, highest_of_hml};
    return *low_frequency ? RangeOfCMinusA{low_frequency_from, highest_of_hml}
                          : RangeOfCMinusA{lowest_of_hml, low_frequency_from};
}

LevelDifference uncertainty_between(LevelDifference a, LevelDifference b) {
    return LevelDifference(std::abs((b - a).dB()) / std::sqrt(12.0));
}

LevelA level_by_nrr(LevelC LC, LevelDifference NRR) { return a_level_from_c(LC, NRR); }

LevelA level_by_nrr(LevelA LA, LevelDifference NRR, LevelDifference allowance) {
    return LA - (NRR - allowance);
}

LevelA level_by_nrr_sf(LevelC LC, LevelDifference NRR_SF) { return a_level_from_c(LC, NRR_SF); }

LevelA level_by_nrr_sf(LevelA LA, LevelDifference NRR_SF) {
    return LA - (NRR_SF - nrr_sf_allowance_with_A);
}

LevelA level_by_slc80(LevelC LC, LevelDifference SLC80) { return a_level_from_c(LC, SLC80); }

LevelA level_by_par(LevelA LA, LevelDifference PAR) { return LA - PAR; }

}  // namespace earbudget
