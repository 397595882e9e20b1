#include "earbudget/protection/pair.hpp"

#include <algorithm>

namespace earbudget {

namespace {

std::optional<LevelDifference> higher(std::optional<LevelDifference> a,
                                      std::optional<LevelDifference> b) {
    // With one of the two unknown, the higher one is unknown too, but the known one is a floor.
    if (!a || !b) return a ? a : b;
    return std::max(*a, *b);
}

OctaveAttenuation better_in_each_band(const OctaveAttenuation& a, const OctaveAttenuation& b,
                                      double alpha) {
    OctaveAttenuation pair;
    for (const OctaveBand band : octave_bands) {
        if (!a.has(band) || !b.has(band)) continue;
        const auto apv_a = a.assumed_protection_value(band, alpha);
        const auto apv_b = b.assumed_protection_value(band, alpha);
        const OctaveAttenuation& better = apv_a >= apv_b ? a : b;
        const auto raised = better.mean(band) + second_protector_allowance;
        // A device measured above the limit keeps what was measured.
        const auto mean =
            std::max(better.mean(band), std::min(raised, bone_conduction_limit(band)));
        pair.set(band, mean, better.deviation(band));
    }
    return pair;
}

}  // namespace

LevelDifference bone_conduction_limit(OctaveBand band) {
    return LevelDifference(band == OctaveBand::Hz2000 ? 40.0 : 45.0);
}

AttenuationData estimate_pair(const Protector& plug, const Protector& earmuff, double alpha) {
    AttenuationData pair;
    pair.second_protector = second_protector_allowance;
    if (plug.octave && earmuff.octave) {
        pair.octave = better_in_each_band(*plug.octave, *earmuff.octave, alpha);
    } else {
        pair.octave = plug.octave ? plug.octave : earmuff.octave;  // at least what one of them does
    }
    pair.ratings.SNR = higher(plug.ratings.SNR, earmuff.ratings.SNR);
    pair.ratings.NRR = higher(plug.ratings.NRR, earmuff.ratings.NRR);
    pair.ratings.NRR_SF = higher(plug.ratings.NRR_SF, earmuff.ratings.NRR_SF);
    pair.ratings.SLC80 = higher(plug.ratings.SLC80, earmuff.ratings.SLC80);
    return pair;
}

}  // namespace earbudget
