#include "earbudget/limits/day_course.hpp"
#include "earbudget/limits/assessment.hpp"

namespace earbudget {

namespace {

bool is_by_band(const ExposureRow& row) {
    return row.prediction && row.prediction->method == Method::Octave && row.prediction->octave &&
           !row.prediction->raised_to_zero && !row.poor_fit && !row.unreduced;
}

}  // namespace

std::vector<EarBandLevel> ear_spectrum(const ExposureRow& row) {
    std::vector<EarBandLevel> spectrum;
    if (!row.sound) return spectrum;
    const OctaveLevelsA outside = row.sound->a_weighted_octaves();
    const OctaveMask through =
        is_by_band(row) ? bands_of_octave_method(outside.bands(), row.prediction->octave->bands())
                        : OctaveMask();
    for (const OctaveBand band : octave_bands) {
        const auto level = outside.at(band);
        if (!level) continue;
        EarBandLevel& entry = spectrum.emplace_back(EarBandLevel{.band = band, .outside = *level});
        if (!through.test(index_of(band))) continue;
        const Prediction& prediction = *row.prediction;
        entry.attenuation =
            prediction.octave->assumed_protection_value(band, prediction.performance.alpha()) -
            prediction.deduction;
        entry.at_ear = *level - *entry.attenuation;
    }
    return spectrum;
}

const ExposureRow* row_with_most_energy(const PersonResult& result) {
    for (const Share& share : result.sequence_shares) {
        if (!share.sequence) continue;
        for (const SegmentResult& segment : result.segments) {
            if (segment.row.sequence == share.sequence && segment.row.sound) return &segment.row;
        }
    }
    return nullptr;
}

std::optional<EarSpectrum> spectrum_with_most_energy(const PersonResult& result) {
    const ExposureRow* const row = row_with_most_energy(result);
    if (!row) return std::nullopt;
    return EarSpectrum{*row->sequence, ear_spectrum(*row)};
}

}  // namespace earbudget
