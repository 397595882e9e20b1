#include "earbudget/acoustics/sound_levels.hpp"

#include <cmath>

#include "acoustics/known_levels.hpp"
#include "earbudget/acoustics/bands.hpp"

namespace earbudget {

OctaveMask bands_from_125_Hz() {
    constexpr auto from_125_Hz = ~0ULL << index_of(OctaveBand::Hz125);
    constexpr auto beyond_8_kHz = ~0ULL << (index_of(OctaveBand::Hz8000) + 1);
    return OctaveMask(from_125_Hz & ~beyond_8_kHz);
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

LevelDifference UncertaintyParts::combined() const {
    return LevelDifference(std::hypot(instrument.dB(), position.dB(), run.dB()));
}

bool knows_c_weighted_level(const SoundLevels& sound) {
    return sound.LCeq || hold_all_from_125_Hz(sound.octave.bands());
}

OctaveMask a_weighted_bands(const SoundLevels& sound) {
    return sound.octave.bands() | sound.octave_A.bands();
}

std::optional<LevelC> SoundLevels::c_weighted_level() const {
    if (LCeq) return LCeq;
    if (!knows_c_weighted_level(*this)) return std::nullopt;
    return c_weighted(octave).sum();
}

OctaveLevelsA SoundLevels::a_weighted_octaves() const {
    OctaveLevelsA result = a_weighted(octave);
    for (const OctaveBand band : octave_bands) {
        if (const auto measured = octave_A.at(band)) result.set(band, *measured);
    }
    return result;
}

SoundLevels SoundLevels::shifted(LevelDifference difference) const {
    SoundLevels result = *this;
    result.LAeq = LAeq + difference;
    if (LCeq) result.LCeq = *LCeq + difference;
    if (LCpeak) result.LCpeak = *LCpeak + difference;
    if (LZpeak) result.LZpeak = *LZpeak + difference;
    result.octave = octave.shifted(difference);
    result.octave_A = octave_A.shifted(difference);
    return result;
}

}  // namespace earbudget
