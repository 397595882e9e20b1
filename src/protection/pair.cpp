#include "earbudget/protection/pair.hpp"

#include <algorithm>
#include <utility>

#include "earbudget/protection/ratings.hpp"

namespace earbudget {

namespace {

// Where one of the two is unknown the higher one is at least the known one.
std::optional<LevelDifference> higher(std::optional<LevelDifference> a,
                                      std::optional<LevelDifference> b) {
    if (!a || !b) return a ? a : b;
    return std::max(*a, *b);
}

bool is_better(const OctaveAttenuation& a, const OctaveAttenuation& b, OctaveBand band,
               double alpha) {
    if (!a.has(band) || !b.has(band)) return a.has(band);
    return a.assumed_protection_value(band, alpha) >= b.assumed_protection_value(band, alpha);
}

// In each band the device with the higher assumed protection value, raised by the allowance; where
// one was not measured, the other one.
OctaveAttenuation raised(const OctaveAttenuation& a, const OctaveAttenuation& b, double alpha) {
    OctaveAttenuation pair;
    for (const OctaveBand band : octave_bands) {
        const OctaveAttenuation& better = is_better(a, b, band, alpha) ? a : b;
        if (!better.has(band)) continue;
        const auto mean = better.mean(band) + second_protector_allowance;
        // A device measured above the limit keeps what was measured.
        const auto held = std::max(better.mean(band), std::min(mean, bone_conduction_limit(band)));
        pair.set(band, held, better.deviation(band));
    }
    return pair;
}

}  // namespace

LevelDifference bone_conduction_limit(OctaveBand band) {
    return LevelDifference(band == OctaveBand::Hz2000 ? 40.0 : 45.0);
}

std::optional<LevelDifference> stated_or_computed_snr(const Protector& protector) {
    if (protector.ratings.SNR || !protector.octave) return protector.ratings.SNR;
    if (!hold_all_from_125_Hz(protector.octave->bands())) return std::nullopt;
    constexpr double alpha_of_labels = 1.0;
    return rounded_as_label(compute_snr(*protector.octave, alpha_of_labels));
}

AttenuationData estimate_pair(const Protector& plug, const Protector& earmuff, double alpha) {
    for (const auto& [known, other] : {std::pair(&plug, &earmuff), std::pair(&earmuff, &plug)}) {
        if (has_data(other->attenuation())) continue;
        AttenuationData alone = known->attenuation();
        alone.type = std::nullopt;
        alone.estimated_pair = alone.one_unknown = true;
        alone.ratings.PAR = std::nullopt;
        return alone;
    }
    AttenuationData pair{.estimated_pair = true, .second_protector = second_protector_allowance};
    if (plug.octave || earmuff.octave) {
        pair.octave = raised(plug.octave ? *plug.octave : *earmuff.octave,
                             earmuff.octave ? *earmuff.octave : *plug.octave, alpha);
    }
    pair.ratings.SNR = higher(stated_or_computed_snr(plug), stated_or_computed_snr(earmuff));
    pair.SNR_from_octaves =
        pair.ratings.SNR && pair.ratings.SNR != higher(plug.ratings.SNR, earmuff.ratings.SNR);
    pair.ratings.NRR = higher(plug.ratings.NRR, earmuff.ratings.NRR);
    pair.ratings.NRR_SF = higher(plug.ratings.NRR_SF, earmuff.ratings.NRR_SF);
    pair.ratings.SLC80 = higher(plug.ratings.SLC80, earmuff.ratings.SLC80);
    return pair;
}

}  // namespace earbudget
