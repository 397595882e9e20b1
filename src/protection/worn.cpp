#include "earbudget/protection/worn.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "earbudget/protection/derating.hpp"

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

// DGUV Information 212-024, annex 1: off L in low-frequency noise, beside Ks (read).
constexpr LevelDifference off_L_at_low_frequencies{5.0};

}  // namespace

LevelDifference reduction_as_fitted(LevelDifference predicted, bool poor_fit) {
    return poor_fit ? std::min(predicted, poor_fit_reduction) : predicted;
}

LevelA level_over_wearing_time(LevelA outside, LevelA while_worn, double fraction_of_time) {
    if (fraction_of_time == 1.0) return while_worn;  // no detour through the logarithm
    const double ratio =
        fraction_of_time * energy_ratio(while_worn - outside) + (1.0 - fraction_of_time);
    return outside + difference_of_energy_ratio(ratio);
}

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
    for (const RatingRow& row : rating_rows) {
        if (row.of_pair != OfPair::Higher) continue;
        pair.ratings.*row.value = higher(plug.ratings.*row.value, earmuff.ratings.*row.value);
    }
    return pair;
}

std::optional<PeakReduction> peak_reduction(const AttenuationData& worn,
                                            std::optional<bool> low_frequency) {
    // Two worn together have no type, and no practice deduction.
    const auto Ks = practice_deduction(worn.type);
    if (!Ks) return std::nullopt;
    // Ks is made for labels.
    const auto hml = hml_at(worn.ratings, worn.octave, ProtectionPerformance().alpha());
    if (!hml) return std::nullopt;
    using Form = PeakReduction::Form;
    PeakReduction result{
        .M = hml->value.M, .L = hml->value.L, .from_octaves = hml->from_octaves, .Ks = *Ks};
    const LevelDifference usual = result.M - result.Ks;
    const LevelDifference low = result.L - result.Ks - off_L_at_low_frequencies;
    result.form = !low_frequency   ? Form::SmallerOfBoth
                  : *low_frequency ? Form::LowFrequency
                                   : Form::Usual;
    result.reduction = result.form == Form::Usual          ? usual
                       : result.form == Form::LowFrequency ? low
                                                           : std::min(usual, low);
    result.reduction = std::max(result.reduction, LevelDifference(0.0));
    return result;
}

}  // namespace earbudget
