#include "earbudget/protection/peak.hpp"

#include <algorithm>

#include "earbudget/protection/derating.hpp"
#include "earbudget/protection/rating_at_performance.hpp"

namespace earbudget {

namespace {

// DGUV Information 212-024, annex 1: off L in low-frequency noise, beside Ks (read).
constexpr LevelDifference off_L_at_low_frequencies{5.0};

}  // namespace

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
