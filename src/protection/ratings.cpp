#include "earbudget/protection/ratings.hpp"

#include <algorithm>
#include <array>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/protection/rating_from_octaves.hpp"
#include "protection/traced.hpp"

namespace earbudget {

namespace {

/// As the label states it and as the octave data give it.
LevelDifference held_at_label(LevelDifference computed, std::optional<LevelDifference> label,
                              double alpha) {
    if (!label) return computed;
    return alpha > alpha_of_labels ? std::min(computed, *label) : std::max(computed, *label);
}

bool is_whole(const std::optional<OctaveAttenuation>& octave) {
    return octave && hold_all_from_125_Hz(octave->bands());
}

}  // namespace

bool any_stated(const Ratings& ratings) {
    return std::ranges::any_of(
        rating_rows, [&](const RatingRow& row) { return (ratings.*row.value).has_value(); });
}

std::optional<Hml> stated_hml(const Ratings& ratings) {
    if (!ratings.H || !ratings.M || !ratings.L) return std::nullopt;
    return Hml{*ratings.H, *ratings.M, *ratings.L};
}

double ProtectionPerformance::alpha() const {
    struct Row {
        double percent;
        double alpha;
    };
    // ISO 4869-2:2018, table 1 (memory); the normal quantiles agree, 84 % is 0.9945 tabled as 1.00.
    constexpr std::array<Row, 6> tabled = {
        {{75, 0.67}, {80, 0.84}, {84, 1.00}, {85, 1.04}, {90, 1.28}, {95, 1.64}}};
    for (const Row& row : tabled) {
        if (row.percent == percent_) return row.alpha;
    }
    // Between tabled values the quantile, never beyond its neighbours in the table: who asks for
    // more gets no smaller α.
    double alpha = normal_quantile(percent_ / 100.0);
    for (const Row& row : tabled)
        alpha = row.percent < percent_ ? std::max(alpha, row.alpha) : std::min(alpha, row.alpha);
    return alpha;
}

std::optional<RatingAt<LevelDifference>> snr_at(const Ratings& label,
                                                const std::optional<OctaveAttenuation>& octave,
                                                double alpha) {
    if (label.SNR && alpha == alpha_of_labels) return RatingAt<LevelDifference>{*label.SNR};
    if (!is_whole(octave)) {
        if (!label.SNR) return std::nullopt;
        return RatingAt<LevelDifference>{.value = *label.SNR, .of_84 = true};
    }
    const LevelDifference computed = rounded_as_label(compute_snr(*octave, alpha));
    return RatingAt<LevelDifference>{held_at_label(computed, label.SNR, alpha), true};
}

std::optional<RatingAt<Hml>> hml_at(const Ratings& label,
                                    const std::optional<OctaveAttenuation>& octave, double alpha) {
    const auto of_label = stated_hml(label);
    if (of_label && alpha == alpha_of_labels) return RatingAt<Hml>{*of_label};
    if (!is_whole(octave)) {
        if (!of_label) return std::nullopt;
        return RatingAt<Hml>{.value = *of_label, .of_84 = true};
    }
    const Hml exact = compute_hml(*octave, alpha);
    const auto settled = [&](LevelDifference Hml::*rating) {
        const auto label_value = of_label ? std::optional(*of_label.*rating) : std::nullopt;
        return held_at_label(rounded_as_label(exact.*rating), label_value, alpha);
    };
    return RatingAt<Hml>{{settled(&Hml::H), settled(&Hml::M), settled(&Hml::L)}, true};
}

WorkingStep over_bands(StepOf step, const std::vector<RatingBand>& bands,
                       const std::optional<LevelDifference>& result) {
    step.columns({"Hz", "LA_dB", "APV_dB", "difference_dB"}).worked({"difference_dB"});
    for (const RatingBand& band : bands)
        step.row(name_of(band.band), band.level, band.attenuation, band.level - band.attenuation);
    return step.is(result, "dB");
}

std::vector<std::string> key_of_rating(const std::string& of, const char* name) {
    return of.empty() ? std::vector<std::string>() : std::vector{of + name};
}

Hml HmlWorking::of(const OctaveAttenuation& attenuation) {
    return exact = compute_hml(attenuation, alpha, edition, &noises);
}

void leave_hml(const Hml& hml, const HmlWorking& how, const std::string& of, Trace& trace) {
    const bool of_1994 = how.edition == RatingEdition::Of1994;
    const bool rounded = how.rounding == Rounding::WholeDecibels;
    const auto& noises = how.noises;
    for (std::size_t n = 0; n < noises.size(); ++n) {
        StepOf step(say<StepPhrase::NoiseReduction>(n + 1), {},
                    of_1994 ? formula_of_pnr_1994 : formula_of_pnr);
        step.value("alpha", how.alpha);
        trace.leave(over_bands(std::move(step), noises[n].bands, noises[n].PNR));
    }
    const auto leave = [&](const char* name, const Formula& formula, std::size_t first,
                           LevelDifference unrounded, LevelDifference result) {
        StepOf step(say<StepPhrase::RatingFromOctaves>(name, rounded), key_of_rating(of, name),
                    formula);
        if (rounded) step.value("rounded_to_dB", 1.0);
        if (rounded && rounded_as_label(unrounded) != result) step.value(label_that_holds, result);
        step.columns({"noise", "d", "PNR_dB"});
        for (std::size_t n = first; n < first + 4; ++n)
            step.row(n + 1, noises[n].d, noises[n].PNR);
        trace.leave(step.is(result, "dB"));
    };
    leave("H", of_1994 ? formula_of_H_1994 : formula_of_H, 0, how.exact.H, hml.H);
    leave("M", of_1994 ? formula_of_M_1994 : formula_of_M, 4, how.exact.M, hml.M);
    leave("L", of_1994 ? formula_of_L_1994 : formula_of_L, 4, how.exact.L, hml.L);
}

}  // namespace earbudget
