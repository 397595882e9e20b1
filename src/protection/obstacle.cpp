#include <fmt/format.h>

#include "earbudget/protection/predict.hpp"

namespace earbudget {

namespace {

using Cause = Unavailable::Cause;

std::string missing_bands(OctaveMask present) {
    std::string names;
    for (const OctaveBand band : octave_bands) {
        const std::size_t i = index_of(band);
        if (!bands_from_125_Hz().test(i) || present.test(i)) continue;
        names += names.empty() ? "" : ", ";
        names += name_of(band);
    }
    return names;
}

std::optional<Unavailable> obstacle_to_octaves(const SoundLevels& sound,
                                               const AttenuationData& worn) {
    if (!worn.octave) {
        return Unavailable{Cause::Protector,
                           "has no octave-band data; accepted: frequency, mean and sd"};
    }
    if (const auto missing = missing_bands(worn.octave->bands()); !missing.empty()) {
        return Unavailable{
            Cause::Protector,
            fmt::format("has no mean and sd at {} Hz; accepted: all of 125 to 8000 Hz", missing)};
    }
    const OctaveMask bands = sound.a_weighted_octaves().bands();
    if (bands.none()) {
        return Unavailable{Cause::Sound,
                           "has no octave-band levels; accepted: [levels.octave], 125 to 8000 Hz"};
    }
    if (const auto missing = missing_bands(bands); !missing.empty()) {
        return Unavailable{
            Cause::Sound,
            fmt::format("has no octave-band level at {} Hz; accepted: all of 125 to 8000 Hz",
                        missing)};
    }
    return std::nullopt;
}

std::optional<Unavailable> obstacle_to_c_level(const SoundLevels& sound) {
    if (sound.c_weighted_level()) return std::nullopt;
    return Unavailable{
        Cause::Sound,
        "has neither LCeq nor all octave-band levels from 125 to 8000 Hz; accepted: LCeq, "
        "[levels.octave], or spectrum_like with a card that has them"};
}

// Without strong low frequencies the SNR does with LA.
std::optional<Unavailable> obstacle_to_snr(const SoundLevels& sound) {
    auto obstacle = obstacle_to_c_level(sound);
    if (!obstacle || sound.low_frequency == false) return std::nullopt;
    if (!sound.low_frequency) {
        obstacle->text += ", or low_frequency = false where low frequencies are not strong";
    }
    return obstacle;
}

bool has_full_octaves(const AttenuationData& worn) {
    return worn.octave && hold_all_from_125_Hz(worn.octave->bands());
}

bool is_stated(Method method, const Ratings& ratings) {
    if (method == Method::Hml) return ratings.H && ratings.M && ratings.L;
    return ratings.SNR.has_value();
}

// That of one of the two, never of their bands put together (pair.hpp).
std::optional<Unavailable> obstacle_to_pair_SNR(const AttenuationData& worn) {
    if (worn.ratings.SNR) return std::nullopt;
    return Unavailable{Cause::Protector,
                       "has no SNR; accepted: frequency, mean and sd from 125 to 8000 Hz of one of "
                       "the two, or its SNR"};
}

// A label, which holds at 84 %, stands for any other performance too where there are no octave
// data.
std::optional<Unavailable> obstacle_to_iso_rating(Method method, std::string_view name,
                                                  const AttenuationData& worn) {
    if (method == Method::Snr && worn.is_estimated_from_two()) return obstacle_to_pair_SNR(worn);
    if (has_full_octaves(worn)) return std::nullopt;
    if (!is_stated(method, worn.ratings)) {
        return Unavailable{
            Cause::Protector,
            fmt::format("has no {0}; accepted: {0}, or frequency, mean and sd from 125 to 8000 Hz",
                        name)};
    }
    return std::nullopt;
}

std::optional<Unavailable> obstacle_to_rating(std::string_view name,
                                              const std::optional<LevelDifference>& rating) {
    if (rating) return std::nullopt;
    return Unavailable{Cause::Protector, fmt::format("has no {0}; accepted: {0}", name)};
}

std::optional<Unavailable> obstacle_in_data(Method method, const SoundLevels& sound,
                                            const AttenuationData& worn) {
    const Ratings& ratings = worn.ratings;
    const auto then_c_level = [&](const std::optional<Unavailable>& first) {
        return first ? first : obstacle_to_c_level(sound);
    };
    switch (method) {
        case Method::Par:
            return obstacle_to_rating("PAR (an individual's fit test)", ratings.PAR);
        case Method::Octave:
            return obstacle_to_octaves(sound, worn);
        case Method::Hml:
            if (worn.estimated_pair || worn.is_estimated_from_two()) {
                return Unavailable{Cause::Protector,
                                   "has no H, M, L: no publication estimates them for a pair; "
                                   "accepted: a [[pair]] as measured"};
            }
            // Without LC the check does with LA.
            return obstacle_to_iso_rating(method, "H, M and L", worn);
        case Method::Snr: {
            const auto first = obstacle_to_iso_rating(method, "SNR", worn);
            return first ? first : obstacle_to_snr(sound);
        }
        case Method::Nrr:
            return obstacle_to_rating("NRR", ratings.NRR);
        case Method::NrrSf:
            return obstacle_to_rating("NRR_SF", ratings.NRR_SF);
        case Method::Slc80:
            return then_c_level(obstacle_to_rating("SLC80", ratings.SLC80));
    }
    return std::nullopt;
}

}  // namespace

bool needs_computed_rating(Method method, const AttenuationData& worn) {
    if (method != Method::Hml && method != Method::Snr) return false;
    if (method == Method::Snr && worn.is_estimated_from_two()) return worn.SNR_unstated;
    return !is_stated(method, worn.ratings);
}

std::optional<Unavailable> undefined_combination(Derating::Kind derating, Method method) {
    if (is_defined(derating, method)) return std::nullopt;
    return Unavailable{
        Cause::Combination,
        fmt::format("no publication defines derating {0} with method {1}; accepted: {0} with "
                    "method nrr; none, uk-4dB, trlv and {{ dB = … }} with every method",
                    name_of(derating), name_of(method))};
}

std::optional<Unavailable> find_obstacle(Method method, const SoundLevels& sound,
                                         const AttenuationData& worn,
                                         const PredictionRules& rules) {
    if (auto undefined = undefined_combination(rules.derating.kind, method)) return undefined;
    if (auto obstacle = obstacle_in_data(method, sound, worn)) return obstacle;
    if ((method == Method::Nrr && !nrr_rule(rules.derating.kind, worn.type)) ||
        !deduction(rules.derating, worn.type)) {
        return Unavailable{
            Cause::Combination,
            fmt::format(
                "derating {} says nothing about two protectors worn together; accepted: csa and "
                "osha-half with method nrr, none, uk-4dB and {{ dB = … }}",
                name_of(rules.derating.kind))};
    }
    return std::nullopt;
}

}  // namespace earbudget
