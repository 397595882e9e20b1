#include <fmt/format.h>

#include "protection/traced.hpp"

namespace earbudget {

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
        StepOf step(fmt::format("predicted noise reduction of noise {}", n + 1), {},
                    of_1994 ? formula_of_pnr_1994 : formula_of_pnr);
        step.value("alpha", how.alpha);
        trace.leave(over_bands(std::move(step), noises[n].bands, noises[n].PNR));
    }
    const auto leave = [&](const char* name, const Formula& formula, std::size_t first,
                           LevelDifference unrounded, LevelDifference result) {
        StepOf step(fmt::format("{} from octave data, {}", name,
                                rounded ? "to whole decibels" : "unrounded"),
                    key_of_rating(of, name), formula);
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
