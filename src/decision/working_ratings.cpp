#include <fmt/format.h>

#include "decision/working_steps.hpp"
#include "earbudget/protection/nrr.hpp"
#include "earbudget/protection/protection_performance.hpp"

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

constexpr Formula to_whole_decibels{"to the nearest whole decibel", "ISO 4869-2, clauses 7 and 8"};
constexpr Formula to_whole_decibels_of_NRR{"to the nearest whole decibel, .5 downwards",
                                           "40 CFR 211.207"};
constexpr Formula stated_less_computed{"difference = stated − computed", "difference"};

void work_out_rounding(const CheckedRatings& checked, Working& working) {
    for (const NamedRating& rating : ratings_from_octaves) {
        const std::string name(rating.name);
        const bool nrr = name == "NRR";
        working.push_back(StepOf(name + " as on a label", {"computed." + name},
                                 nrr ? to_whole_decibels_of_NRR : to_whole_decibels)
                              .value("unrounded_dB", checked.computed_unrounded.*rating.value)
                              .is(checked.computed.*rating.value, "dB"));
    }
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
                  Rounding rounding, const std::string& of, Working& working) {
    const auto noises = noise_reductions(attenuation, alpha);
    const bool rounded = rounding == Rounding::WholeDecibels;
    const auto start = [&](const char* name, const Formula& formula) {
        StepOf step(fmt::format("{} from octave data, {}", name,
                                rounded ? "to whole decibels" : "unrounded"),
                    key(of, name), formula);
        if (rounded) step.value("rounded_to_dB", 1.0);
        return step;
    };
    for (std::size_t n = 0; n < noises.size(); ++n) {
        StepOf step(fmt::format("predicted noise reduction of noise {}", n + 1), {},
                    formula_of_pnr);
        step.value("alpha", alpha);
        working.push_back(over_bands(std::move(step), noises[n].bands, noises[n].PNR));
    }
    working.push_back(over_noises(start("H", formula_of_H), noises, 0, hml.H));
    working.push_back(over_noises(start("M", formula_of_M), noises, 4, hml.M));
    working.push_back(over_noises(start("L", formula_of_L), noises, 4, hml.L));
}

Working working_of(const CheckedRatings& checked) {
    Working working;
    if (!checked.octave) return working;
    const Ratings& exact = checked.computed_unrounded;
    const double alpha = ProtectionPerformance().alpha();
    const std::string of = "computed_unrounded.";
    work_out_hml(*checked.octave, alpha, {*exact.H, *exact.M, *exact.L}, Rounding::None, of,
                 working);
    working.push_back(over_bands(
        StepOf("SNR unrounded", key(of, "SNR"), formula_of_snr_rating).value("alpha", alpha),
        bands_of_snr(*checked.octave, alpha), *exact.SNR));
    working.push_back(over_bands(StepOf("NRR unrounded", key(of, "NRR"), formula_of_nrr_rating),
                                 bands_of_nrr(*checked.octave), *exact.NRR));
    work_out_rounding(checked, working);
    return working;
}

}  // namespace earbudget
