#include <fmt/format.h>

#include "earbudget/protection/nrr.hpp"
#include "earbudget/protection/protection_performance.hpp"
#include "working/working_steps.hpp"

namespace earbudget {

namespace {

WorkingStep over_bands(StepOf step, const std::vector<RatingBand>& bands, LevelDifference result) {
    step.columns({"Hz", "LA_dB", "APV_dB", "difference_dB"}).worked({"difference_dB"});
    for (const RatingBand& band : bands)
        step.row(name_of(band.band), band.level, band.attenuation, band.level - band.attenuation);
    return step.is(result, "dB");
}

WorkingStep over_noises(StepOf step, const std::array<NoiseReduction, 8>& noises, std::size_t first,
                        LevelDifference result) {
    step.columns({"noise", "d", "PNR_dB"});
    for (std::size_t n = first; n < first + 4; ++n)
        step.row(static_cast<double>(n + 1), noises[n].d, noises[n].PNR);
    return step.is(result, "dB");
}

std::vector<std::string> key(const std::string& of, const char* name) {
    return of.empty() ? std::vector<std::string>() : std::vector{of + name};
}

constexpr Formula to_whole_decibels{"to the nearest whole decibel",
                                    "ISO 4869-2:2018, clauses 7 and 8"};
constexpr Formula to_whole_decibels_of_NRR{"to the nearest whole decibel, .5 downwards",
                                           "40 CFR 211.207"};
constexpr Formula stated_less_computed{"difference = stated − computed", "difference"};

constexpr Formula to_whole_decibels_1994{"to the nearest whole decibel",
                                         "ISO 4869-2:1994, clauses 7 and 8 (memory)"};

template <class List>
void work_out_rounding(const Ratings& unrounded, const Ratings& rounded, const List& names,
                       const std::string& of, const Formula& formula, Working& working) {
    for (const NamedRating& rating : names) {
        const std::string name(rating.name);
        working.push_back(StepOf(name + " as on a label", {of + name},
                                 name == "NRR" ? to_whole_decibels_of_NRR : formula)
                              .value("unrounded_dB", unrounded.*rating.value)
                              .is(rounded.*rating.value, "dB"));
    }
}

void work_out_comparisons(const CheckedRatings& checked, Working& working) {
    for (std::size_t n = 0; n < checked.comparisons.size(); ++n) {
        const RatingComparison& comparison = checked.comparisons[n];
        working.push_back(StepOf(std::string(comparison.rating) + " stated and computed",
                                 {key_of("differences", n, "difference_dB")}, stated_less_computed)
                              .value("stated_dB", comparison.stated)
                              .value("computed_dB", comparison.computed)
                              .is(comparison.difference(), "dB"));
    }
}

}  // namespace

void work_out_hml(const OctaveAttenuation& attenuation, double alpha, const Hml& hml,
                  const HmlWorking& how, const std::string& of, Working& working) {
    const bool of_1994 = how.edition == RatingEdition::Of1994;
    const auto noises = noise_reductions(attenuation, alpha, how.edition);
    const Hml exact = compute_hml(attenuation, alpha, how.edition);
    const bool rounded = how.rounding == Rounding::WholeDecibels;
    const auto add = [&](const char* name, const Formula& formula, std::size_t first,
                         LevelDifference unrounded, LevelDifference result) {
        StepOf step(fmt::format("{} from octave data, {}", name,
                                rounded ? "to whole decibels" : "unrounded"),
                    key(of, name), formula);
        if (rounded) step.value("rounded_to_dB", 1.0);
        if (rounded && rounded_as_label(unrounded) != result) step.value(held_at_label, result);
        working.push_back(over_noises(std::move(step), noises, first, result));
    };
    for (std::size_t n = 0; n < noises.size(); ++n) {
        StepOf step(fmt::format("predicted noise reduction of noise {}", n + 1), {},
                    of_1994 ? formula_of_pnr_1994 : formula_of_pnr);
        step.value("alpha", alpha);
        working.push_back(over_bands(std::move(step), noises[n].bands, noises[n].PNR));
    }
    add("H", of_1994 ? formula_of_H_1994 : formula_of_H, 0, exact.H, hml.H);
    add("M", of_1994 ? formula_of_M_1994 : formula_of_M, 4, exact.M, hml.M);
    add("L", of_1994 ? formula_of_L_1994 : formula_of_L, 4, exact.L, hml.L);
}

namespace {

void work_out_edition(const OctaveAttenuation& octave, const Ratings& exact, RatingEdition edition,
                      const std::string& of, Working& working) {
    const double alpha = ProtectionPerformance().alpha();
    work_out_hml(octave, alpha, {*exact.H, *exact.M, *exact.L}, {Rounding::None, edition}, of,
                 working);
    const Formula& formula =
        edition == RatingEdition::Of1994 ? formula_of_snr_rating_1994 : formula_of_snr_rating;
    working.push_back(
        over_bands(StepOf("SNR unrounded", key(of, "SNR"), formula).value("alpha", alpha),
                   bands_of_snr(octave, alpha, edition), *exact.SNR));
}

}  // namespace

Working working_of(const CheckedRatings& checked) {
    Working working;
    if (!checked.octave) return working;
    const Ratings& exact = checked.computed_unrounded;
    const std::string of = "computed_unrounded.";
    work_out_edition(*checked.octave, exact, RatingEdition::Of2018, of, working);
    working.push_back(over_bands(StepOf("NRR unrounded", key(of, "NRR"), formula_of_nrr_rating),
                                 bands_of_nrr(*checked.octave), *exact.NRR));
    work_out_rounding(exact, checked.computed, ratings_from_octaves, "computed.", to_whole_decibels,
                      working);
    work_out_edition(*checked.octave, checked.computed_1994_unrounded, RatingEdition::Of1994,
                     "computed_1994_unrounded.", working);
    work_out_rounding(checked.computed_1994_unrounded, checked.computed_1994, ratings_of_editions,
                      "computed_1994.", to_whole_decibels_1994, working);
    work_out_comparisons(checked, working);
    return working;
}

}  // namespace earbudget
