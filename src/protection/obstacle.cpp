#include "acoustics/known_levels.hpp"
#include "earbudget/protection/predict.hpp"

namespace earbudget {

namespace {

using lacking_for::Lacking;
using Cause = Unavailable::Cause;

std::vector<std::string> missing_bands(OctaveMask present) {
    std::vector<std::string> names;
    if (hold_all_from_125_Hz(present)) return names;
    for (const OctaveBand band : octave_bands) {
        const std::size_t i = index_of(band);
        if (bands_from_125_Hz().test(i) && !present.test(i)) names.emplace_back(name_of(band));
    }
    return names;
}

Lacking obstacle_to_octaves(const SoundLevels& sound, const AttenuationData& worn) {
    if (!worn.octave) return Unavailable{Cause::Protector, say<ObstaclePhrase::NoOctaveData>()};
    if (const auto missing = missing_bands(worn.octave->bands()); !missing.empty())
        return Unavailable{Cause::Protector, say<ObstaclePhrase::NoDataInBands>(missing)};
    const OctaveMask bands = a_weighted_bands(sound);
    if (bands.none()) return Unavailable{Cause::Sound, say<ObstaclePhrase::NoOctaveLevels>()};
    if (const auto missing = missing_bands(bands); !missing.empty())
        return Unavailable{Cause::Sound, say<ObstaclePhrase::NoLevelInBands>(missing)};
    return std::nullopt;
}

Lacking obstacle_to_c_level(const SoundLevels& sound, bool does_without_low_frequency = false) {
    if (knows_c_weighted_level(sound)) return std::nullopt;
    return Unavailable{Cause::Sound, say<ObstaclePhrase::NoCLevel>(does_without_low_frequency)};
}

// Without strong low frequencies the SNR does with LA.
Lacking obstacle_to_snr(const SoundLevels& sound) {
    if (sound.low_frequency == false) return std::nullopt;
    // No advice that is followed already.
    return obstacle_to_c_level(sound,
                               !sound.low_frequency && !sound.low_frequency_does_not_hold);
}

bool has_full_octaves(const AttenuationData& worn) {
    return worn.octave && hold_all_from_125_Hz(worn.octave->bands());
}

// That of one of the two, never of their bands put together (worn.hpp).
Lacking obstacle_to_pair_SNR(const AttenuationData& worn) {
    if (worn.ratings.SNR) return std::nullopt;
    return Unavailable{Cause::Protector, say<ObstaclePhrase::NoSnrOfTwo>()};
}

// A label, which holds at 84 %, stands for any other performance too where there are no octave
// data.
Lacking obstacle_to_iso_rating(std::string_view name, bool is_stated, const AttenuationData& worn) {
    if (is_stated || has_full_octaves(worn)) return std::nullopt;
    return Unavailable{Cause::Protector, say<ObstaclePhrase::NoRatingNorOctaves>(name)};
}

std::string accepted_deratings(DefinedWith with) {
    std::vector<std::string_view> names;
    for (const DeratingRow& row : derating_rows) {
        if (row.with == with) names.push_back(row.in_files);
    }
    return listed(names);
}

/// Those that say something of two worn together.
std::string deratings_of_pairs(DefinedWith with) {
    std::vector<std::string_view> names;
    for (const DeratingRow& row : derating_rows) {
        const Derating of_pair{.kind = row.key};
        const bool says = row.nrr_rule(std::nullopt) && row.deduction(of_pair, std::nullopt);
        if (row.with == with && says) names.push_back(row.in_files);
    }
    return listed(names);
}

}  // namespace

namespace lacking_for {

Lacking rating(const MethodRow& row, const SoundLevels& /*sound*/, const AttenuationData& worn) {
    if (stated_rating(worn.ratings, *row.rating)) return std::nullopt;
    return Unavailable{Cause::Protector,
                       say<ObstaclePhrase::NoRating>(rating_rows[*row.rating].words)};
}

Lacking rating_and_C(const MethodRow& row, const SoundLevels& sound, const AttenuationData& worn) {
    auto lacking = rating(row, sound, worn);
    return lacking ? lacking : obstacle_to_c_level(sound);
}

Lacking octave(const MethodRow& /*row*/, const SoundLevels& sound, const AttenuationData& worn) {
    return obstacle_to_octaves(sound, worn);
}

// Without LC the check does with LA.
Lacking hml(const MethodRow& /*row*/, const SoundLevels& /*sound*/, const AttenuationData& worn) {
    if (worn.estimated_pair || worn.is_estimated_from_two())
        return Unavailable{Cause::Protector, say<ObstaclePhrase::NoHmlOfTwo>()};
    return obstacle_to_iso_rating("H, M and L", stated_hml(worn.ratings).has_value(), worn);
}

Lacking snr(const MethodRow& /*row*/, const SoundLevels& sound, const AttenuationData& worn) {
    auto lacking = worn.is_estimated_from_two()
                       ? obstacle_to_pair_SNR(worn)
                       : obstacle_to_iso_rating("SNR", worn.ratings.SNR.has_value(), worn);
    return lacking ? lacking : obstacle_to_snr(sound);
}

}  // namespace lacking_for

namespace must_compute {

bool nothing(const AttenuationData& /*worn*/) { return false; }

bool hml(const AttenuationData& worn) { return !stated_hml(worn.ratings); }

bool snr(const AttenuationData& worn) {
    return worn.is_estimated_from_two() ? worn.SNR_unstated : !worn.ratings.SNR;
}

}  // namespace must_compute

std::optional<Unavailable> undefined_combination(Derating::Kind derating, Method method) {
    if (is_defined(derating, method)) return std::nullopt;
    return Unavailable{Cause::Combination, say<ObstaclePhrase::DeratingUndefined>(
                                               name_of(derating), name_of(method),
                                               accepted_deratings(DefinedWith::EveryMethod))};
}

std::optional<Unavailable> find_obstacle(Method method, const SoundLevels& sound,
                                         const AttenuationData& worn,
                                         const PredictionRules& rules) {
    if (auto undefined = undefined_combination(rules.derating.kind, method)) return undefined;
    const MethodRow& row = method_rows[method];
    if (auto lacking = row.lacks(row, sound, worn)) return lacking;
    const DeratingRow& derating = derating_rows[rules.derating.kind];
    if (derating.deduction(rules.derating, worn.type) &&
        (method != Method::Nrr || derating.nrr_rule(worn.type))) {
        return std::nullopt;
    }
    return Unavailable{Cause::Combination,
                       say<ObstaclePhrase::DeratingOfTwoUndefined>(
                           derating.name, deratings_of_pairs(DefinedWith::NrrAlone),
                           deratings_of_pairs(DefinedWith::EveryMethod))};
}

}  // namespace earbudget
