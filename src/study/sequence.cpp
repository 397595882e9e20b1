#include "earbudget/study/sequence.hpp"

#include <cmath>

#include <fmt/format.h>

namespace earbudget {

namespace {

// The A weighting lies above the C weighting by at most 20 lg of their normalizations, 1.94 dB,
// approached at high frequencies; derived from IEC 61672-1, annex E. One decimal of rounding added.
constexpr LevelDifference highest_A_above_C{2.0};

// The A weighting amplifies by at most 1.27 dB, near 2.5 kHz; derived from IEC 61672-1, annex E.
constexpr LevelDifference highest_A_above_Z{1.3};

std::optional<std::string> octave_contradiction(const SoundLevels& levels) {
    const bool as_measured = !levels.octave_A.empty();
    const auto sum = levels.a_weighted_octaves().sum();
    if (!sum) return std::nullopt;
    const LevelDifference apart = *sum - levels.LAeq;
    if (std::abs(apart.dB()) <= octave_sum_tolerance.dB() + 1e-9) return std::nullopt;
    return fmt::format(
        "LAeq is {:.1f} dB but the {}octave-band levels sum to {:.1f} dB(A), {:.1f} dB apart; "
        "accepted: up to {:.0f} dB apart",
        levels.LAeq.dB(), as_measured ? "A-weighted " : "", sum->dB(), std::abs(apart.dB()),
        octave_sum_tolerance.dB());
}

// A band's A-weighted level can differ from its unweighted one only by the weighting at some
// frequency inside the band.
std::optional<std::string> band_contradiction(const SoundLevels& levels) {
    for (const OctaveBand band : octave_bands) {
        const auto with_A = levels.octave_A.at(band);
        const auto without = levels.octave.at(band);
        if (!with_A || !without) continue;
        if (LevelZ(with_A->dB()) - *without <= highest_A_above_Z) continue;
        return fmt::format(
            "octave_A has {:.1f} dB(A) in the {} Hz band, octave has {:.1f} dB; A weighting "
            "amplifies by 1.3 dB at most",
            with_A->dB(), name_of(band), without->dB());
    }
    return std::nullopt;
}

std::optional<std::string> weighting_contradiction(const SoundLevels& levels) {
    if (levels.LCeq && -c_minus_a(*levels.LCeq, levels.LAeq) > highest_A_above_C) {
        return fmt::format(
            "LAeq {:.1f} dB is above LCeq {:.1f} dB by more than the weightings allow; accepted: "
            "LAeq up to {:.0f} dB above LCeq",
            levels.LAeq.dB(), levels.LCeq->dB(), highest_A_above_C.dB());
    }
    const auto LZ = levels.octave.sum();
    if (LZ && levels.LAeq.dB() - LZ->dB() > highest_A_above_Z.dB() + octave_sum_tolerance.dB()) {
        return fmt::format(
            "LAeq {:.1f} dB is above the unweighted {:.1f} dB of the octave bands by more than A "
            "weighting can give; accepted: up to 1.3 dB above",
            levels.LAeq.dB(), LZ->dB());
    }
    return std::nullopt;
}

std::optional<std::string> peak_contradiction(const SoundLevels& levels) {
    const auto LC = levels.c_weighted_level();
    const double mean = LC ? LC->dB() : levels.LAeq.dB() - highest_A_above_C.dB();
    const auto check = [mean](std::string_view name, double peak) -> std::optional<std::string> {
        if (peak >= mean) return std::nullopt;
        return fmt::format(
            "{} {:.1f} dB is below the average level {:.1f} dB; accepted: a peak of the same sound "
            "is never below its average",
            name, peak, mean);
    };
    if (levels.LCpeak) {
        if (auto found = check("LCpeak", levels.LCpeak->dB())) return found;
    }
    if (levels.LZpeak) return check("LZpeak", levels.LZpeak->dB());
    return std::nullopt;
}

std::optional<std::string> implausible(std::string_view name, double decibels) {
    if (is_plausible_level(decibels)) return std::nullopt;
    return fmt::format("{} is {} dB; accepted: {:.0f} to {:.0f} dB", name, decibels,
                       lowest_level_dB, highest_level_dB);
}

std::optional<std::string> implausible_level(const SoundLevels& levels) {
    if (auto found = implausible("LAeq", levels.LAeq.dB())) return found;
    if (levels.LCeq) {
        if (auto found = implausible("LCeq", levels.LCeq->dB())) return found;
    }
    if (levels.LCpeak) {
        if (auto found = implausible("LCpeak", levels.LCpeak->dB())) return found;
    }
    if (levels.LZpeak) {
        if (auto found = implausible("LZpeak", levels.LZpeak->dB())) return found;
    }
    for (const OctaveBand band : octave_bands) {
        const auto level = levels.octave.at(band);
        if (!level) continue;
        if (auto found = implausible(name_of(band), level->dB())) return found;
    }
    if (levels.uncertainty && !(levels.uncertainty->dB() >= 0.0)) {
        return std::string("uncertainty is below 0 dB; accepted: 0 dB and more");
    }
    return std::nullopt;
}

}  // namespace

std::optional<std::string> contradiction_in(const SoundLevels& levels) {
    for (const auto check : {implausible_level, octave_contradiction, band_contradiction,
                             weighting_contradiction, peak_contradiction}) {
        if (auto found = check(levels)) return found;
    }
    return std::nullopt;
}

}  // namespace earbudget
