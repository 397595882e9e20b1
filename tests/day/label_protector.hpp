#pragma once

#include <set>
#include <string>
#include <vector>

#include "earbudget/choice/check_ratings.hpp"
#include "earbudget/protection/rating_from_octaves.hpp"
#include "report/words/words.hpp"

namespace earbudget::test {

inline constexpr auto decibels = [](double value) { return LevelDifference(value); };

/// A protector whose label follows from its data.
inline Protector sound_protector() {
    Protector protector{.id = "foam", .title = "Foam", .type = ProtectorType::FoamPlug};
    OctaveAttenuation octave;
    double mean = 20.0;
    for (std::size_t i = index_of(OctaveBand::Hz63); i <= index_of(OctaveBand::Hz8000); ++i) {
        octave.set(octave_bands[i], decibels(mean), decibels(4.0));
        mean += 2.0;
    }
    protector.octave = octave;
    const Hml hml = compute_hml(octave, 1.0);
    protector.ratings = {.SNR = rounded_as_label(compute_snr(octave, 1.0)),
                         .H = rounded_as_label(hml.H),
                         .M = rounded_as_label(hml.M),
                         .L = rounded_as_label(hml.L),
                         .NRR = rounded_as_nrr_label(compute_nrr(octave))};
    return protector;
}

inline Catalogue catalogue_of(const std::vector<Protector>& protectors) {
    Catalogue catalogue;
    for (const Protector& protector : protectors)
        catalogue.protectors.push_back({.protector = protector});
    return catalogue;
}

inline CheckedRatings check(const Protector& protector) {
    return check_ratings(catalogue_of({protector})).protectors.front();
}

inline std::set<std::string> codes(const CheckedRatings& checked) {
    std::set<std::string> result;
    for (const CatalogueNote& note : checked.notes)
        result.insert(std::string(note.code()));
    return result;
}

inline std::string text_of(const CheckedRatings& checked, const std::string& code) {
    for (const CatalogueNote& note : checked.notes) {
        if (note.code() == code) return earbudget::text_of(note.says);
    }
    return "";
}

inline bool says(const CheckedRatings& checked, const std::string& code, const std::string& words) {
    return text_of(checked, code).find(words) != std::string::npos;
}

inline void set_mean(Protector& protector, OctaveBand band, double mean) {
    protector.octave->set(band, decibels(mean), protector.octave->deviation(band));
}

inline void set_deviation(Protector& protector, OctaveBand band, double deviation) {
    protector.octave->set(band, protector.octave->mean(band), decibels(deviation));
}

inline void set_all(Protector& protector, double mean, double deviation) {
    for (const OctaveBand band : octave_bands) {
        if (protector.octave->has(band))
            protector.octave->set(band, decibels(mean), decibels(deviation));
    }
}

}  // namespace earbudget::test
