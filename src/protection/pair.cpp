#include "earbudget/protection/pair.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "earbudget/protection/rating_at_performance.hpp"

namespace earbudget {

namespace {

// Where one of the two is unknown the higher one is at least the known one.
std::optional<LevelDifference> higher(std::optional<LevelDifference> a,
                                      std::optional<LevelDifference> b) {
    if (!a || !b) return a ? a : b;
    return std::max(*a, *b);
}

bool is_better(const OctaveAttenuation& a, const OctaveAttenuation& b, OctaveBand band) {
    if (!a.has(band) || !b.has(band)) return a.has(band);
    return a.assumed_protection_value(band, alpha_of_labels) >=
           b.assumed_protection_value(band, alpha_of_labels);
}

// In each band the device with the higher assumed protection value at 84 %, raised by the
// allowance; where one was not measured, the other one. Whatever performance is asked for: chosen
// anew for each, a device that bone conduction holds could give way to one that it does not, and a
// stricter performance would give more.
OctaveAttenuation raised(const OctaveAttenuation& a, const OctaveAttenuation& b) {
    OctaveAttenuation pair;
    for (const OctaveBand band : octave_bands) {
        const OctaveAttenuation& better = is_better(a, b, band) ? a : b;
        if (!better.has(band)) continue;
        const auto mean = better.mean(band) + second_protector_allowance;
        // A device measured above the limit keeps what was measured.
        const auto held = std::max(better.mean(band), std::min(mean, bone_conduction_limit(band)));
        pair.set(band, held, better.deviation(band));
    }
    return pair;
}

/// The SNR of one of the two, and whether it was computed.
struct HigherSnr {
    std::optional<LevelDifference> value;
    bool from_octaves = false;
    bool of_84 = false;  ///< a label's, which holds for 84 %, for want of octave data
};

HigherSnr higher_snr(const Protector& plug, const Protector& earmuff, double alpha) {
    std::array known = {snr_at(plug.ratings, plug.octave, alpha),
                        snr_at(earmuff.ratings, earmuff.octave, alpha)};
    if (!known[0] && !known[1]) return {};
    const auto& [a, b] = known;
    const auto& best = !b || (a && a->value >= b->value) ? *a : *b;
    // As on a label where one of the two states it so.
    const bool stated = (a && !a->from_octaves && a->value == best.value) ||
                        (b && !b->from_octaves && b->value == best.value);
    return {best.value, !stated, best.of_84};
}

}  // namespace

LevelDifference bone_conduction_limit(OctaveBand band) {
    return LevelDifference(band == OctaveBand::Hz2000 ? 40.0 : 45.0);
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
                             earmuff.octave ? *earmuff.octave : *plug.octave);
    }
    const HigherSnr SNR = higher_snr(plug, earmuff, alpha);
    pair.ratings.SNR = SNR.value;
    pair.SNR_from_octaves = SNR.from_octaves;
    pair.SNR_of_84 = SNR.of_84;
    pair.SNR_unstated = higher_snr(plug, earmuff, alpha_of_labels).from_octaves;
    pair.ratings.NRR = higher(plug.ratings.NRR, earmuff.ratings.NRR);
    pair.ratings.NRR_SF = higher(plug.ratings.NRR_SF, earmuff.ratings.NRR_SF);
    pair.ratings.SLC80 = higher(plug.ratings.SLC80, earmuff.ratings.SLC80);
    return pair;
}

}  // namespace earbudget
