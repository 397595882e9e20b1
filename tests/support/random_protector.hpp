#pragma once

#include <random>

#include "earbudget/protection/octave_attenuation.hpp"

namespace earbudget::test {

/// A plausible invented protector: attenuation rising with frequency, 63 Hz to 8 kHz.
inline OctaveAttenuation random_attenuation(std::mt19937& random) {
    std::uniform_real_distribution<double> start(8.0, 25.0);
    std::uniform_real_distribution<double> rise(0.0, 4.0);
    std::uniform_real_distribution<double> deviation(2.0, 7.0);
    OctaveAttenuation attenuation;
    double mean = start(random);
    for (std::size_t i = index_of(OctaveBand::Hz63); i <= index_of(OctaveBand::Hz8000); ++i) {
        attenuation.set(octave_bands[i], LevelDifference(mean), LevelDifference(deviation(random)));
        mean += rise(random);
    }
    return attenuation;
}

/// A plausible invented sound: octave levels 63 Hz to 8 kHz, 70 to 105 dB each.
inline OctaveLevelsZ random_octaves(std::mt19937& random) {
    std::uniform_real_distribution<double> level(70.0, 105.0);
    OctaveLevelsZ levels;
    for (std::size_t i = index_of(OctaveBand::Hz63); i <= index_of(OctaveBand::Hz8000); ++i) {
        levels.set(octave_bands[i], LevelZ(level(random)));
    }
    return levels;
}

/// The same attenuation in every band and no spread.
inline OctaveAttenuation flat_attenuation(double dB) {
    OctaveAttenuation attenuation;
    for (std::size_t i = index_of(OctaveBand::Hz63); i <= index_of(OctaveBand::Hz8000); ++i) {
        attenuation.set(octave_bands[i], LevelDifference(dB), LevelDifference(0.0));
    }
    return attenuation;
}

}  // namespace earbudget::test
