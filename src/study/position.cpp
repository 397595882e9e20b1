#include "earbudget/study/position.hpp"

#include <algorithm>
#include <cmath>

namespace earbudget {

namespace {

LevelDifference largest_of(const Transmission& transmission) {
    LevelDifference largest = transmission.octave_difference.begin()->second;
    for (const auto& [band, difference] : transmission.octave_difference)
        largest = std::max(largest, difference);
    return transmission.difference ? std::max(largest, *transmission.difference) : largest;
}

/// Of a band that is not stated: the whole difference, else the largest, which is on the safe side.
LevelDifference difference_at(OctaveBand band, const Transmission& transmission) {
    const auto stated = transmission.octave_difference.find(band);
    if (stated != transmission.octave_difference.end()) return stated->second;
    return transmission.difference ? *transmission.difference : largest_of(transmission);
}

template <class Levels>
Levels shifted_by_band(const Levels& levels, const Transmission& transmission) {
    Levels result;
    for (const OctaveBand band : octave_bands) {
        if (const auto level = levels.at(band)) {
            result.set(band, *level + difference_at(band, transmission));
        }
    }
    return result;
}

std::optional<LevelDifference> moved(std::optional<LevelA> before, std::optional<LevelA> after) {
    return before && after ? std::optional(*after - *before) : std::nullopt;
}

template <class L>
L energy_sum(L a, L b) {
    return a + LevelDifference(10.0 * std::log10(1.0 + std::pow(10.0, 0.1 * (b - a).dB())));
}

template <class L>
std::optional<L> energy_sum(const std::optional<L>& a, const std::optional<L>& b) {
    if (!a || !b) return a ? a : b;
    return energy_sum(*a, *b);
}

template <class L>
std::optional<L> higher(const std::optional<L>& a, const std::optional<L>& b) {
    if (!a || !b) return a ? a : b;
    return std::max(*a, *b);
}

template <class Levels>
Levels band_sum(const Levels& a, const Levels& b) {
    Levels result = a;
    for (const OctaveBand band : octave_bands) {
        if (const auto level = energy_sum(a.at(band), b.at(band))) result.set(band, *level);
    }
    return result;
}

/// Of the energy of both together, below which a sound is passed over (own choice).
constexpr double negligible_share = 0.01;

double share_of(const SoundLevels& one, const SoundLevels& other) {
    const double energy = relative_energy(one.LAeq);
    return energy / (energy + relative_energy(other.LAeq));
}

/// A wall takes off less at low frequencies: what lacks them here may have them there.
void forget_lack_of_low_frequencies(SoundLevels& there) {
    if (there.low_frequency != false) return;
    there.low_frequency = std::nullopt;
    there.low_frequency_does_not_hold = true;
}

/// Errors of the two are independent: by the squares of their shares in the energy. Not stated
/// where the part of one that states none is more than negligible.
std::optional<LevelDifference> uncertainty_together(const SoundLevels& sound,
                                                    const SoundLevels& background) {
    const double share = share_of(sound, background);
    if (!sound.uncertainty && share > negligible_share) return std::nullopt;
    if (!background.uncertainty && 1.0 - share > negligible_share) return std::nullopt;
    const LevelDifference none(0.0);
    return LevelDifference(std::hypot(share * sound.uncertainty.value_or(none).dB(),
                                      (1.0 - share) * background.uncertainty.value_or(none).dB()));
}

}  // namespace

std::optional<SoundLevels> sound_there(const SoundLevels& at_ear_position,
                                       const Transmission& transmission) {
    if (transmission.octave_difference.empty()) {
        if (!transmission.difference) return std::nullopt;
        SoundLevels there = at_ear_position.shifted(*transmission.difference);
        forget_lack_of_low_frequencies(there);
        return there;
    }
    const OctaveLevelsA before = at_ear_position.a_weighted_octaves();
    if (before.empty() && !transmission.difference) return std::nullopt;
    SoundLevels result = at_ear_position.shifted(largest_of(transmission));
    if (before.empty()) {
        result.LAeq = at_ear_position.LAeq + *transmission.difference;
        forget_lack_of_low_frequencies(result);
        return result;
    }
    result.octave = shifted_by_band(at_ear_position.octave, transmission);
    result.octave_A = shifted_by_band(at_ear_position.octave_A, transmission);
    if (const auto by = moved(before.sum(), result.a_weighted_octaves().sum())) {
        result.LAeq = at_ear_position.LAeq + *by;
    }
    const auto C_before = c_weighted(at_ear_position.octave).sum();
    const auto C_after = c_weighted(result.octave).sum();
    if (at_ear_position.LCeq && C_before && C_after) {
        result.LCeq = *at_ear_position.LCeq + (*C_after - *C_before);
    }
    return result;
}

bool can_be_added(const SoundLevels& background, const SoundLevels& sound) {
    if (sound.c_weighted_level() && !background.c_weighted_level()) return false;
    const OctaveMask needed = sound.a_weighted_octaves().bands() & bands_from_125_Hz();
    return (background.a_weighted_octaves().bands() & needed) == needed;
}

SoundLevels together(const SoundLevels& sound, const SoundLevels& background) {
    SoundLevels result = sound;
    result.LAeq = energy_sum(sound.LAeq, background.LAeq);
    if (const auto LC = sound.c_weighted_level()) {
        result.LCeq = energy_sum(*LC, background.c_weighted_level().value());
    }
    const double share = share_of(background, sound);
    if (share > negligible_share && sound.low_frequency != background.low_frequency) {
        result.low_frequency = std::nullopt;
        result.low_frequency_does_not_hold =
            sound.low_frequency == false || sound.low_frequency_does_not_hold;
    }
    result.uncertainty = uncertainty_together(sound, background);
    result.uncertainty_parts = std::nullopt;
    result.LCpeak = higher(sound.LCpeak, background.LCpeak);
    result.LZpeak = higher(sound.LZpeak, background.LZpeak);
    if (!sound.octave.empty()) result.octave = band_sum(sound.octave, background.octave);
    if (!sound.octave_A.empty()) {
        OctaveLevelsA measured = sound.octave_A;
        const OctaveLevelsA others = background.a_weighted_octaves();
        for (const OctaveBand band : octave_bands) {
            if (!measured.has(band)) continue;
            if (const auto level = energy_sum(measured.at(band), others.at(band))) {
                measured.set(band, *level);
            }
        }
        result.octave_A = measured;
    }
    return result;
}

}  // namespace earbudget
