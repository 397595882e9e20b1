#include "earbudget/acoustics/octave_levels.hpp"

#include "earbudget/acoustics/frequency_weighting.hpp"

namespace earbudget {

OctaveMask bands_from_125_Hz() {
    OctaveMask bands;
    for (std::size_t i = index_of(OctaveBand::Hz125); i <= index_of(OctaveBand::Hz8000); ++i) {
        bands.set(i);
    }
    return bands;
}

bool hold_all_from_125_Hz(OctaveMask bands) { return (bands_from_125_Hz() & ~bands).none(); }

OctaveLevelsA a_weighted(const OctaveLevelsZ& levels) {
    OctaveLevelsA weighted;
    for (const OctaveBand band : octave_bands) {
        if (const auto level = levels.at(band)) {
            weighted.set(band, LevelA((*level + a_weighting(band)).dB()));
        }
    }
    return weighted;
}

OctaveLevelsC c_weighted(const OctaveLevelsZ& levels) {
    OctaveLevelsC weighted;
    for (const OctaveBand band : octave_bands) {
        if (const auto level = levels.at(band)) {
            weighted.set(band, LevelC((*level + c_weighting(band)).dB()));
        }
    }
    return weighted;
}

}  // namespace earbudget
