#include "earbudget/acoustics/octave_levels.hpp"

#include "earbudget/acoustics/frequency_weighting.hpp"

namespace earbudget {

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
