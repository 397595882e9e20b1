#include <stdexcept>
#include <string>
#include <utility>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/protection/ratings.hpp"
#include "earbudget/protection/worn.hpp"
#include "protection/traced.hpp"

namespace earbudget {

namespace {

using Worn = std::vector<const Protector*>;

void leave_LC(const SoundLevels& sound, const Prediction& prediction, const Message& name,
              Trace& trace) {
    if (!prediction.LC || sound.LCeq) return;
    StepOf step(say<StepPhrase::LCFromBands>(name), {}, formula_of_LC);
    step.columns({"Hz", "Lf_dB", "Cf_dB"});
    for (const OctaveBand band : octave_bands) {
        if (sound.octave.has(band)) {
            step.row(name_of(band), sound.octave.at(band), c_weighting(band));
        }
    }
    trace.leave(step.is(prediction.LC, "dB(C)"));
}

/// The octave data that an SNR was computed from, and whose they are where two are worn: of an
/// estimated pair's two, one that has this SNR.
std::pair<Message, OctaveAttenuation> source_of_snr(const Worn& worn,
                                                    const Prediction& prediction) {
    if (prediction.octave) return {Message(), *prediction.octave};
    for (const Protector* one : worn) {
        const auto SNR = snr_at(one->ratings, one->octave, prediction.performance.alpha());
        if (SNR && SNR->from_octaves && SNR->value == prediction.rating)
            return {say<StepPhrase::OfProtector>(one->id), *one->octave};
    }
    throw std::logic_error("an SNR was computed from nothing");
}

void leave_computed_rating(const Worn& worn, const Prediction& prediction, Trace& trace) {
    if (!prediction.rating_from_octaves) return;
    if (prediction.hml) {
        // Ratings are looked up for every prediction; what they sum over is kept for this one.
        HmlWorking how{prediction.performance.alpha(), Rounding::WholeDecibels};
        how.of(*prediction.octave);
        leave_hml(*prediction.hml, how, "", trace);
        return;
    }
    const auto [of, octave] = source_of_snr(worn, prediction);
    StepOf step(say<StepPhrase::SnrFromOctaves>(of), {}, formula_of_snr_rating);
    const double alpha = prediction.performance.alpha();
    step.value("alpha", alpha).value("rounded_to_dB", 1.0);
    std::vector<RatingBand> bands;
    const LevelDifference exact = compute_snr(octave, alpha, RatingEdition::Of2018, &bands);
    if (rounded_as_label(exact) != prediction.rating)
        step.value(label_that_holds, prediction.rating);
    trace.leave(over_bands(std::move(step), bands, prediction.rating));
}

void leave_pair_bands(const Worn& stated, const Prediction& prediction, Trace& trace) {
    if (!prediction.estimated_pair || !prediction.octave || prediction.one_unknown) return;
    // The plug is put in first, however it is stated.
    Worn worn = stated;
    if (worn[0]->is_earmuff()) std::swap(worn[0], worn[1]);
    const std::string& one = worn[0]->id;
    const std::string& other = worn[1]->id;
    StepOf step(say<StepPhrase::PairBands>(one, other), {}, formula_of_pair_bands);
    step.value("alpha", prediction.performance.alpha());
    step.columns({"Hz", one + "_mean_dB", one + "_sd_dB", other + "_mean_dB", other + "_sd_dB",
                  "mean_dB", "sd_dB"});
    step.worked({"mean_dB", "sd_dB"});
    const auto& first = worn[0]->octave;
    const auto& second = worn[1]->octave;
    for (const OctaveBand band : octave_bands) {
        if (!prediction.octave->has(band)) continue;
        const auto of = [&](const std::optional<OctaveAttenuation>& data, bool mean) {
            if (!data || !data->has(band)) return std::optional<LevelDifference>();
            return std::optional(mean ? data->mean(band) : data->deviation(band));
        };
        step.row(name_of(band), of(first, true), of(first, false), of(second, true),
                 of(second, false), prediction.octave->mean(band),
                 prediction.octave->deviation(band));
    }
    trace.leave(step.is(say<StepPhrase::InLastTwoColumns>(), "dB"));
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
    const std::string name(name_of(method_rows[prediction.method].rating.value()));
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

Formula formula_for(const Prediction& prediction) {
    const bool with_C = prediction.LC.has_value();
    if (prediction.nrr_rule) return formula_of(*prediction.nrr_rule, with_C);
    if (prediction.hml_of_labels) return formula_of_hml_beyond;
    return formula_of(prediction.method, prediction.form);
}

}  // namespace

void leave_prediction(const Prediction& prediction, const SoundLevels& sound,
                      const std::vector<const Protector*>& worn, const Message& name,
                      Trace& trace) {
    leave_LC(sound, prediction, name, trace);
    leave_pair_bands(worn, prediction, trace);
    leave_computed_rating(worn, prediction, trace);
    StepOf step(say<StepPhrase::UnderProtector>(name, name_of(prediction.method)), {},
                formula_for(prediction));
    if (has_allowance(prediction)) step.and_then(" − pair");
    step.value("LA_dB", prediction.LA);
    if (prediction.LC) step.value("LC_dB", prediction.LC);
    if (prediction.method == Method::Octave) {
        add_octaves(sound, prediction, step);
    } else if (prediction.hml) {
        add_hml(prediction, step);
    } else {
        add_rating(prediction, step);
    }
    if (prediction.second_protector.dB() != 0.0 && !prediction.nrr_rule) {
        step.value("pair", formula_of_pair.text).value("pair_source", formula_of_pair.source);
    }
    if (sound.borrowed && prediction.form == MethodForm::SpectrumLike) {
        step.value("octave_bands_of", sound.borrowed->card);
    }
    if (prediction.form_uncertainty.dB() > 0.0) {
        step.value("spectrum_u_dB", prediction.form_uncertainty);
    }
    const LevelA level = prediction.LA - prediction.by_method;
    trace.leave(step.is(level, "dB(A)"));
    trace.leave(StepOf(say<StepPhrase::AfterDerating>(name), {}, formula_of_reduction)
                    .value("LA_dB", prediction.LA)
                    .value("L'A_dB", level)
                    .value("deduction_dB", prediction.deduction)
                    .value("deduction_by", source_of(prediction.derating.kind))
                    .is(prediction.reduction, "dB"));
}

}  // namespace earbudget
