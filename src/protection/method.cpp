#include "earbudget/protection/method.hpp"

#include <cmath>

namespace earbudget {

namespace {

LevelA a_level_from_c(LevelC LC, LevelDifference rating) {
    return LevelA((LC - rating).dB());  // these ratings turn a C level into an A level
}

}  // namespace

std::string_view name_of(Method method) {
    switch (method) {
        case Method::Par:
            return "par";
        case Method::Octave:
            return "octave";
        case Method::Hml:
            return "hml";
        case Method::Snr:
            return "snr";
        case Method::NrrSf:
            return "nrr-sf";
        case Method::Nrr:
            return "nrr";
        case Method::Slc80:
            return "slc80";
    }
    return "";
}

std::string_view source_of(Method method) {
    switch (method) {
        case Method::Par:
            return "individual fit test, as NIOSH 2025-104 prefers it";
        case Method::Octave:
            return "ISO 4869-2:2018, clause 6 (octave-band method)";
        case Method::Hml:
            return "ISO 4869-2:2018, clause 7 (HML method)";
        case Method::Snr:
            return "ISO 4869-2:2018, clause 8 (SNR method)";
        case Method::NrrSf:
            return "NRR(SF), ANSI S12.6 method B (memory, edition not confirmed)";
        case Method::Nrr:
            return "29 CFR 1910.95, appendix B (NRR)";
        case Method::Slc80:
            return "AS/NZS 1269.3, SLC80 (memory, edition not confirmed)";
    }
    return "";
}

std::string_view name_of(MethodForm form) {
    switch (form) {
        case MethodForm::AsDefined:
            return "as-defined";
        case MethodForm::SpectrumLike:
            return "spectrum-like";
        case MethodForm::CheckM:
            return "hml-check-M";
        case MethodForm::CheckL:
            return "hml-check-L";
        case MethodForm::SnrFromA:
            return "snr-from-LA";
        case MethodForm::FromA:
            return "from-LA";
    }
    return "";
}

std::string_view words_of(MethodForm form) {
    switch (form) {
        case MethodForm::AsDefined:
            return "";
        case MethodForm::SpectrumLike:
            return "with another card's octave bands";
        case MethodForm::CheckM:
            return "from LA alone, LA − M";
        case MethodForm::CheckL:
            return "from LA alone, LA − L";
        case MethodForm::SnrFromA:
            return "from LA alone, LA + 5 − SNR";
        case MethodForm::FromA:
            return "from LA alone";
    }
    return "";
}

std::string_view source_of(Method method, MethodForm form) {
    switch (form) {
        case MethodForm::CheckM:
        case MethodForm::CheckL:
            return "EN 458 (HML check; edition not confirmed)";
        case MethodForm::SnrFromA:
            return "EN 458 (SNR from LA; memory, edition not confirmed)";
        case MethodForm::AsDefined:
        case MethodForm::SpectrumLike:
        case MethodForm::FromA:
            break;
    }
    return source_of(method);
}

Formula formula_of(Method method, MethodForm form) {
    const std::string_view source = source_of(method, form);
    if (form == MethodForm::CheckM) return {"L'A = LA − M", source};
    if (form == MethodForm::CheckL) return {"L'A = LA − L", source};
    if (form == MethodForm::SnrFromA) return {"L'A = LA + 5 − SNR", source};
    const bool with_C = form != MethodForm::FromA;
    switch (method) {
        case Method::Par:
            return {"L'A = LA − PAR", source};
        case Method::Octave:
            return {"L'A = 10 lg Σ 10^((LA,f − APV,f)/10), LA,f = Lf + Af, APV,f = mean − α·sd",
                    source};
        case Method::Hml:
            return {
                "PNR = M − (H − M)/4·(LC − LA − 2) for LC − LA ≤ 2 dB, else "
                "M − (M − L)/8·(LC − LA − 2); L'A = LA − PNR",
                source};
        case Method::Snr:
            return {"L'A = LC − SNR", source};
        case Method::NrrSf:
            return with_C ? Formula{"L'A = LC − NRR(SF)", source}
                          : Formula{"L'A = LA − (NRR(SF) − 5)", source};
        case Method::Nrr:
            return with_C ? Formula{"L'A = LC − NRR", source}
                          : Formula{"L'A = LA − (NRR − 7)", source};
        case Method::Slc80:
            return {"L'A = LC − SLC80", source};
    }
    return {};
}

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
