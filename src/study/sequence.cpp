#include "earbudget/study/sequence.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>

#include <fmt/format.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/level.hpp"
#include "earbudget/protection/predict.hpp"

namespace earbudget {

namespace {

constexpr LevelDifference entered{3.0};  // ours
constexpr LevelDifference guessed{5.0};  // ours

StatedUncertainty stated(const SoundLevels& levels) {
    return {.parts = levels.uncertainty_parts.value_or(
                UncertaintyParts{.instrument = *levels.uncertainty}),
            .whole = *levels.uncertainty,
            .source = say<OriginPhrase::Stated>()};
}

template <OriginPhrase why>
StatedUncertainty by_default(const UncertaintyParts& parts) {
    return {.parts = parts,
            .whole = parts.combined(),
            .source = say<why>(parts.combined()),
            .is_default = true};
}

}  // namespace

StatedUncertainty stated_or_default_uncertainty(const SoundLevels& levels, const Origin& origin) {
    using enum OriginPhrase;
    if (levels.uncertainty) return stated(levels);
    if (origin.how == "measured") {
        UncertaintyParts parts{.instrument = uncertainty_of_other_instruments,
                               .position = uncertainty_of_position};
        if (origin.instrument_class != 1U) return by_default<MeasuredOtherwise>(parts);
        parts.instrument = uncertainty_of_class_1;
        return by_default<MeasuredByClass1>(parts);
    }
    if (origin.how == "entered") return by_default<Entered>({.instrument = entered});
    if (origin.how == "guessed") return by_default<Guessed>({.instrument = guessed});
    if (origin.how == "declared") return by_default<Declared>({.instrument = guessed});
    if (origin.how == "predicted") return by_default<Predicted>({.instrument = guessed});
    return by_default<NoOrigin>({.instrument = guessed});
}

bool may_be_within(const Origin& origin) {
    if (origin.how.empty()) return true;
    const OriginWayRow* const way = origin_ways.find(origin.how);
    return way && way->may_be_within;
}

StatedUncertainty stated_or_default_uncertainty(const Sequence& card) {
    return stated_or_default_uncertainty(card.levels, card.origin);
}

StatedUncertainty stated_or_default_uncertainty_in_plan(const SoundLevels& levels) {
    if (levels.uncertainty) return stated(levels);
    return by_default<OriginPhrase::EnteredInPlan>({.instrument = entered});
}

std::string measurement_of(const Origin& origin) {
    return fmt::format("{}\n{}\n{}", origin.who, origin.when, origin.instrument);
}

namespace {

using Found = std::optional<Contradiction>;

// The A weighting lies above the C weighting by at most 20 lg of their normalizations, 1.94 dB,
// approached at high frequencies; derived from IEC 61672-1, annex E, rounded up to a decimal.
constexpr LevelDifference highest_A_above_C{2.0};

// The A weighting amplifies by at most 1.27 dB, near 2.5 kHz; derived from IEC 61672-1, annex E,
// rounded up to a decimal.
constexpr LevelDifference highest_A_above_Z{1.3};

Found implausible(std::string_view key, double decibels) {
    if (is_plausible_level(decibels)) return std::nullopt;
    return Contradiction{std::string(key), say<ObstaclePhrase::LevelOutside>(
                                               key, decibels, lowest_level_dB, highest_level_dB)};
}

template <class L>
Found implausible(std::string_view key, const std::optional<L>& level) {
    return level ? implausible(key, level->dB()) : std::nullopt;
}

Found implausible_level(const SoundLevels& levels) {
    if (auto found = implausible("LAeq", levels.LAeq.dB())) return found;
    if (auto found = implausible("LCeq", levels.LCeq)) return found;
    if (auto found = implausible("LCpeak", levels.LCpeak)) return found;
    if (auto found = implausible("LZpeak", levels.LZpeak)) return found;
    for (const OctaveBand band : octave_bands) {
        if (auto found = implausible("octave", levels.octave.at(band))) return found;
        if (auto found = implausible("octave_A", levels.octave_A.at(band))) return found;
    }
    const LevelDifference none(0.0);
    if (levels.uncertainty &&
        !(*levels.uncertainty >= none && *levels.uncertainty <= highest_uncertainty)) {
        return Contradiction{"uncertainty", say<ObstaclePhrase::UncertaintyOutside>(
                                                *levels.uncertainty, highest_uncertainty)};
    }
    return std::nullopt;
}

Found octave_sum_off_LAeq(const SoundLevels& levels) {
    const auto sum = levels.a_weighted_octaves().sum();
    if (!sum) return std::nullopt;
    const double apart = std::abs((*sum - levels.LAeq).dB());
    if (apart <= (octave_sum_tolerance + level_slack).dB()) return std::nullopt;
    const bool complete = hold_all_from_125_Hz(levels.a_weighted_octaves().bands());
    return Contradiction{"LAeq", say<ObstaclePhrase::OctavesOffLAeq>(
                                     levels.LAeq, !levels.octave_A.empty(), *sum, apart,
                                     octave_sum_tolerance, !complete && *sum <= levels.LAeq)};
}

// The lowest and highest A weighting at any frequency inside a band.
std::pair<LevelDifference, LevelDifference> weighting_range(OctaveBand band) {
    const auto low = a_weighting(lower_edge(band));
    const auto high = a_weighting(upper_edge(band));
    const bool holds_maximum = band == OctaveBand::Hz2000;
    return {std::min(low, high), holds_maximum ? highest_A_above_Z : std::max(low, high)};
}

// A band's A-weighted level can differ from its unweighted one only by the weighting at some
// frequency inside the band; bands at the lowest level of a card hold nothing.
Found octave_A_off_octave(const SoundLevels& levels) {
    constexpr double rounding = 0.2;  // of two levels stated to a decimal, and a little leakage
    for (const OctaveBand band : octave_bands) {
        const auto with_A = levels.octave_A.at(band);
        const auto without = levels.octave.at(band);
        if (!with_A || !without || with_A->dB() <= lowest_level_dB) continue;
        const double gain = with_A->dB() - without->dB();
        const auto [least, most] = weighting_range(band);
        if (gain >= least.dB() - rounding && gain <= most.dB() + rounding) continue;
        return Contradiction{"octave_A", say<ObstaclePhrase::OctaveAOffOctave>(
                                             *with_A, name_of(band), *without, least, most)};
    }
    return std::nullopt;
}

Found LAeq_above_LCeq(const SoundLevels& levels) {
    if (!levels.LCeq) return std::nullopt;
    if (-c_minus_a(*levels.LCeq, levels.LAeq) <= highest_A_above_C) return std::nullopt;
    return Contradiction{
        "LAeq", say<ObstaclePhrase::AAboveC>(levels.LAeq, *levels.LCeq, highest_A_above_C)};
}

Found LAeq_above_LZ(const SoundLevels& levels) {
    const auto LZ = levels.octave.sum();
    if (!LZ) return std::nullopt;
    const double above = levels.LAeq.dB() - LZ->dB();
    if (above <= (highest_A_above_Z + level_slack).dB()) return std::nullopt;
    return Contradiction{"LAeq", say<ObstaclePhrase::AAboveZ>(levels.LAeq, *LZ, highest_A_above_Z)};
}

// Below the bands LCeq would promise too little noise to every method that starts from it; above
// them it may hold sound below 22 Hz.
Found LCeq_below_octaves(const SoundLevels& levels) {
    const auto sum = c_weighted(levels.octave).sum();
    if (!levels.LCeq || !sum) return std::nullopt;
    if (*sum - *levels.LCeq <= octave_sum_tolerance + level_slack) return std::nullopt;
    return Contradiction{
        "LCeq", say<ObstaclePhrase::CBelowOctaves>(*levels.LCeq, *sum, octave_sum_tolerance)};
}

// What strong low frequencies are said to be lacking decides how much of a sound a protector takes.
Found low_frequency_against_levels(const SoundLevels& levels) {
    const auto LC = levels.c_weighted_level();
    if (levels.low_frequency != false || !LC) return std::nullopt;
    const LevelDifference C_minus_A = c_minus_a(*LC, levels.LAeq);
    if (C_minus_A < low_frequency_from - level_slack) return std::nullopt;
    return Contradiction{"low_frequency",
                         say<ObstaclePhrase::LowFrequencyAgainstC>(C_minus_A, low_frequency_from)};
}

template <class L>
Found peak_below_average(std::string_view key, const std::optional<L>& peak,
                         const SoundLevels& levels) {
    if (!peak) return std::nullopt;
    const double average = levels.LCeq ? levels.LCeq->dB() : (levels.LAeq - highest_A_above_C).dB();
    if (peak->dB() >= average) return std::nullopt;
    return Contradiction{std::string(key),
                         say<ObstaclePhrase::PeakBelowAverage>(key, *peak, average)};
}

Found low_peak(const SoundLevels& levels) {
    if (auto found = peak_below_average("LCpeak", levels.LCpeak, levels)) return found;
    return peak_below_average("LZpeak", levels.LZpeak, levels);
}

}  // namespace

std::optional<Contradiction> contradiction_in(const SoundLevels& levels) {
    for (const auto check :
         {implausible_level, octave_sum_off_LAeq, octave_A_off_octave, LAeq_above_LCeq,
          LAeq_above_LZ, LCeq_below_octaves, low_peak, low_frequency_against_levels}) {
        if (auto found = check(levels)) return found;
    }
    return std::nullopt;
}

}  // namespace earbudget
