#include <map>
#include <mutex>
#include <stdexcept>
#include <string>
#include <utility>

#include <fmt/format.h>

#include "earbudget/acoustics/frequency_weighting.hpp"
#include "earbudget/protection/pair.hpp"
#include "earbudget/protection/rating_at_performance.hpp"
#include "working/working_steps.hpp"

namespace earbudget {

namespace {

void work_out_LC(const SoundLevels& sound, const Prediction& prediction, const std::string& name,
                 Working& working) {
    if (!prediction.LC || sound.LCeq) return;
    StepOf step("LC of " + name + " from its octave bands", {}, formula_of_LC);
    step.columns({"Hz", "Lf_dB", "Cf_dB"});
    for (const OctaveBand band : octave_bands) {
        if (sound.octave.has(band)) {
            step.row(name_of(band), sound.octave.at(band), c_weighting(band));
        }
    }
    working.push_back(step.is(prediction.LC, "dB(C)"));
}

StepOf& add_bands(StepOf& step, const std::vector<RatingBand>& bands) {
    step.columns({"Hz", "LA_dB", "APV_dB", "difference_dB"}).worked({"difference_dB"});
    for (const RatingBand& band : bands)
        step.row(name_of(band.band), band.level, band.attenuation, band.level - band.attenuation);
    return step;
}

/// The octave data that an SNR was computed from, and whose they are where two are worn: of an
/// estimated pair's two, one that has this SNR.
std::pair<std::string, OctaveAttenuation> source_of_snr(const Plan& plan,
                                                        const std::vector<std::string>& wears,
                                                        const Prediction& prediction) {
    if (prediction.octave) return {"", *prediction.octave};
    for (const std::string& id : wears) {
        const Protector& one = plan.catalogue.find(id)->protector;
        const auto SNR = snr_at(one.ratings, one.octave, prediction.performance.alpha());
        if (SNR && SNR->from_octaves && SNR->value == prediction.rating) {
            return {"of " + id + " ", *one.octave};
        }
    }
    throw std::logic_error("an SNR was computed from nothing");
}

void work_out_computed_rating(const Plan& plan, const std::vector<std::string>& wears,
                              const Prediction& prediction, Working& working) {
    if (!prediction.rating_from_octaves) return;
    if (prediction.hml) {
        work_out_hml(*prediction.octave, prediction.performance.alpha(), *prediction.hml,
                     {Rounding::WholeDecibels}, "", working);
        return;
    }
    const auto [of, octave] = source_of_snr(plan, wears, prediction);
    StepOf step("SNR " + of + "from octave data, to whole decibels", {}, formula_of_snr_rating);
    const double alpha = prediction.performance.alpha();
    step.value("alpha", alpha).value("rounded_to_dB", 1.0);
    if (rounded_as_label(compute_snr(octave, alpha)) != prediction.rating) {
        step.value(held_at_label, prediction.rating);
    }
    add_bands(step, bands_of_snr(octave, alpha));
    working.push_back(step.is(prediction.rating, "dB"));
}

void work_out_pair_bands(const Plan& plan, const std::vector<std::string>& stated,
                         const Prediction& prediction, Working& working) {
    if (!prediction.estimated_pair || !prediction.octave || prediction.one_unknown) return;
    const std::vector<std::string> wears = in_order(plan.catalogue, stated);
    StepOf step("octave bands of " + short_names_of(plan.catalogue, stated), {},
                formula_of_pair_bands);
    step.value("alpha", prediction.performance.alpha());
    step.columns({"Hz", wears[0] + "_mean_dB", wears[0] + "_sd_dB", wears[1] + "_mean_dB",
                  wears[1] + "_sd_dB", "mean_dB", "sd_dB"});
    step.worked({"mean_dB", "sd_dB"});
    const auto& first = plan.catalogue.find(wears[0])->protector.octave;
    const auto& second = plan.catalogue.find(wears[1])->protector.octave;
    for (const OctaveBand band : octave_bands) {
        if (!prediction.octave->has(band)) continue;
        const auto of = [&](const std::optional<OctaveAttenuation>& one, bool mean) {
            if (!one || !one->has(band)) return std::optional<LevelDifference>();
            return std::optional(mean ? one->mean(band) : one->deviation(band));
        };
        step.row(name_of(band), of(first, true), of(first, false), of(second, true),
                 of(second, false), prediction.octave->mean(band),
                 prediction.octave->deviation(band));
    }
    working.push_back(step.is("in the last two columns", "dB"));
}

void add_octaves(const SoundLevels& sound, const Prediction& prediction, StepOf& step) {
    const double alpha = prediction.performance.alpha();
    const OctaveLevelsA levels = sound.a_weighted_octaves();
    const OctaveMask used = bands_of_octave_method(levels.bands(), prediction.octave->bands());
    step.value("alpha", alpha).value("left_out_dB", prediction.left_out);
    step.columns({"Hz", "Lf_dB", "Af_dB", "LA_dB", "mean_dB", "sd_dB", "APV_dB", "difference_dB"});
    // A level measured with the weighting follows from nothing.
    step.worked(sound.octave_A.empty()
                    ? std::vector<std::string>{"LA_dB", "APV_dB", "difference_dB"}
                    : std::vector<std::string>{"APV_dB", "difference_dB"});
    for (const OctaveBand band : octave_bands) {
        if (!used.test(index_of(band))) continue;
        const LevelA level = *levels.at(band);
        const auto APV = prediction.octave->assumed_protection_value(band, alpha);
        // Measured with the weighting there is no Lf + Af.
        const bool measured = sound.octave_A.has(band);
        const auto Lf = measured ? std::nullopt : sound.octave.at(band);
        const auto Af = measured ? std::nullopt : std::optional(a_weighting(band));
        step.row(name_of(band), Lf, Af, level, prediction.octave->mean(band),
                 prediction.octave->deviation(band), APV, level - APV);
    }
}

void add_hml(const Prediction& prediction, StepOf& step) {
    step.value("H_dB", prediction.hml->H)
        .value("M_dB", prediction.hml->M)
        .value("L_dB", prediction.hml->L);
    if (const auto& labels = prediction.hml_of_labels) {
        step.value("H84_dB", labels->H).value("M84_dB", labels->M).value("L84_dB", labels->L);
    }
}

void add_rating(const Prediction& prediction, StepOf& step) {
    const bool own_name = prediction.method == Method::Snr || prediction.method == Method::Par ||
                          prediction.method == Method::Slc80;
    const std::string name = !own_name ? (prediction.method == Method::Nrr ? "NRR" : "NRR_SF")
                             : prediction.method == Method::Snr ? "SNR"
                             : prediction.method == Method::Par ? "PAR"
                                                                : "SLC80";
    step.value(name + "_dB", prediction.rating);
    if (const auto& rule = prediction.nrr_rule) {
        step.value("factor", rule->factor)
            .value("allowance_dB", rule->allowance_with_A)
            .value("factor_at_end", rule->factor_at_end)
            .value("factors_by", source_of(prediction.derating.kind));
    }
    step.value("pair_dB", prediction.second_protector);
}

/// A single rating of an estimated pair has the allowance taken off besides.
bool has_allowance(const Prediction& prediction) {
    return prediction.second_protector.dB() != 0.0 && !prediction.nrr_rule && prediction.rating;
}

/// A formula's text lives as long as the program: one made of two is made once.
Formula with_allowance(const Formula& formula) {
    static std::mutex guard;
    static std::map<std::string_view, std::string> known;
    const std::lock_guard lock(guard);
    const auto [text, is_new] = known.try_emplace(formula.text);
    if (is_new) text->second = std::string(formula.text) + " − pair";
    return {text->second, formula.source};
}

Formula formula_for(const Prediction& prediction) {
    const bool with_C = prediction.LC.has_value();
    if (prediction.nrr_rule) return formula_of(*prediction.nrr_rule, with_C);
    if (prediction.hml_of_labels) return formula_of_hml_beyond;
    const Formula formula = formula_of(prediction.method, prediction.form);
    return has_allowance(prediction) ? with_allowance(formula) : formula;
}

}  // namespace

void work_out_prediction(const Plan& plan, const std::vector<std::string>& wears,
                         const HeardRow& row, const std::string& name, Working& working) {
    const Prediction& prediction = *row.prediction;
    work_out_LC(*row.sound, prediction, name, working);
    work_out_pair_bands(plan, wears, prediction, working);
    work_out_computed_rating(plan, wears, prediction, working);
    StepOf step(fmt::format("{} under the protector by {}", name, name_of(prediction.method)), {},
                formula_for(prediction));
    step.value("LA_dB", prediction.LA);
    if (prediction.LC) step.value("LC_dB", prediction.LC);
    if (prediction.method == Method::Octave) {
        add_octaves(*row.sound, prediction, step);
    } else if (prediction.hml) {
        add_hml(prediction, step);
    } else {
        add_rating(prediction, step);
    }
    if (prediction.second_protector.dB() != 0.0 && !prediction.nrr_rule) {
        step.value("pair", formula_of_pair.text).value("pair_source", formula_of_pair.source);
    }
    if (row.sound->borrowed && prediction.form == MethodForm::SpectrumLike) {
        step.value("octave_bands_of", row.sound->borrowed->card);
    }
    if (prediction.form_uncertainty.dB() > 0.0) {
        step.value("spectrum_u_dB", prediction.form_uncertainty);
    }
    const LevelA level = prediction.LA - prediction.by_method;
    working.push_back(step.is(level, "dB(A)"));
    working.push_back(StepOf("reduction of " + name + " after derating", {}, formula_of_reduction)
                          .value("LA_dB", prediction.LA)
                          .value("L'A_dB", level)
                          .value("deduction_dB", prediction.deduction)
                          .value("deduction_by", source_of(prediction.derating.kind))
                          .is(prediction.reduction, "dB"));
}

}  // namespace earbudget
