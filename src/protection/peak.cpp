#include "earbudget/protection/peak.hpp"

#include <algorithm>

#include "earbudget/protection/derating.hpp"
#include "earbudget/protection/protection_performance.hpp"

namespace earbudget {

namespace {

// DGUV Information 212-024, annex 1: off L in low-frequency noise, beside Ks (read).
constexpr LevelDifference off_L_at_low_frequencies{5.0};

struct LabelHml {
    Hml hml;
    bool from_octaves;
};

/// At 84 %, as on a label.
std::optional<LabelHml> label_hml(const AttenuationData& worn) {
    const Ratings& label = worn.ratings;
    if (label.H && label.M && label.L) return LabelHml{{*label.H, *label.M, *label.L}, false};
    if (!worn.octave || !hold_all_from_125_Hz(worn.octave->bands())) return std::nullopt;
    const Hml exact = compute_hml(*worn.octave, ProtectionPerformance().alpha());
    return LabelHml{
        {rounded_as_label(exact.H), rounded_as_label(exact.M), rounded_as_label(exact.L)}, true};
}

}  // namespace

std::optional<PeakReduction> peak_reduction(const AttenuationData& worn,
                                            std::optional<bool> low_frequency) {
    // Two worn together have no type, and no practice deduction.
    const auto Ks = practice_deduction(worn.type);
    const auto label = Ks ? label_hml(worn) : std::nullopt;
    if (!label) return std::nullopt;
    using Form = PeakReduction::Form;
    PeakReduction result{
        .M = label->hml.M, .L = label->hml.L, .from_octaves = label->from_octaves, .Ks = *Ks};
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
