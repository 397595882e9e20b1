#include "earbudget/protection/predict.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>
#include <vector>

#include "acoustics/known_levels.hpp"
#include "protection/predictor.hpp"

namespace earbudget {

/// What one method is given, and the prediction in which it keeps what it used of that.
struct MethodUse {
    const SoundLevels& sound;
    const AttenuationData& worn;
    const PredictionRules& rules;
    RatingsOfWorn& ratings;
    Prediction& result;

    [[nodiscard]] bool has_LC() const { return knows_c_weighted_level(sound); }
    [[nodiscard]] RangeOfCMinusA range() const { return range_of_C_minus_A(sound.low_frequency); }

    LevelDifference use(const std::optional<LevelDifference>& rating);
    /// The method's own rating.
    LevelDifference use_rating();
    LevelC use_LC();
    /// What is found from LA alone, with the reductions at the ends of what LC − LA may be.
    void use_only_LA(MethodForm form, LevelDifference at_one_end, LevelDifference at_other_end);
    /// What a second protector adds to a single rating.
    LevelDifference use_second_protector();
    /// Where a rating comes from: a label for 84 % may stand for another performance.
    void note_origin(bool from_octaves, bool of_84);
};

/// The level at the ear by a method.
[[nodiscard]] inline LevelA level_of(Method method, MethodUse use) {
    return method_rows[method].level(use);
}

LevelDifference MethodUse::use(const std::optional<LevelDifference>& rating) {
    result.rating = rating.value();
    return *rating;
}

LevelDifference MethodUse::use_rating() {
    return use(stated_rating(worn.ratings, method_rows[result.method].rating.value()));
}

LevelC MethodUse::use_LC() {
    result.LC = sound.c_weighted_level().value();
    result.LC_without_63_Hz = !sound.LCeq && !sound.octave.has(OctaveBand::Hz63);
    if (sound.borrowed && !sound.LCeq) result.form = MethodForm::SpectrumLike;
    return *result.LC;
}

void MethodUse::use_only_LA(MethodForm form, LevelDifference at_one_end,
                            LevelDifference at_other_end) {
    result.form = form;
    result.form_uncertainty = uncertainty_between(at_one_end, at_other_end);
    result.form_ends = {at_one_end, at_other_end};
}

LevelDifference MethodUse::use_second_protector() {
    result.second_protector = worn.second_protector;
    return worn.second_protector;
}

void MethodUse::note_origin(bool from_octaves, bool of_84) {
    result.rating_from_octaves = from_octaves;
    if (!of_84) return;
    result.asked_of_label = rules.performance;
    result.performance = ProtectionPerformance();
}

namespace {

LevelDifference reduction_by_check(MethodUse& use, const Hml& hml) {
    const bool by_M = use.sound.low_frequency == false;
    if (!by_M) use.result.reduction_by_M = hml.M;
    const RangeOfCMinusA range = use.range();
    use.use_only_LA(by_M ? MethodForm::CheckM : MethodForm::CheckL,
                    reduction_by_hml(range.lowest, hml), reduction_by_hml(range.highest, hml));
    return by_M ? hml.M : hml.L;
}

LevelDifference reduction_by_hml_of(MethodUse& use) {
    const RatingAt<Hml>& rated = use.ratings.hml();
    use.result.hml = rated.value;
    if (rated.from_octaves) use.result.octave = use.worn.octave;
    use.note_origin(rated.from_octaves, rated.of_84);
    if (!use.has_LC()) return reduction_by_check(use, rated.value);
    const LevelDifference LC_minus_LA = c_minus_a(use.use_LC(), use.sound.LAeq);
    const bool beyond = LC_minus_LA > highest_of_hml || LC_minus_LA < lowest_of_hml;
    if (use.ratings.alpha() == alpha_of_labels || !beyond) {
        return reduction_by_hml(LC_minus_LA, rated.value);
    }
    use.result.hml_of_labels = use.ratings.hml_of_labels();
    return reduction_by_hml(LC_minus_LA, rated.value, *use.result.hml_of_labels);
}

/// By SNR, in the form that the sound allows.
LevelA level_by_snr_as_allowed(MethodUse& use, LevelDifference SNR) {
    if (use.has_LC()) return level_by_snr(use.use_LC(), SNR);
    use.use_only_LA(MethodForm::SnrFromA, use.range().lowest, use.range().highest);
    return level_by_snr_from_A(use.sound.LAeq, SNR);
}

}  // namespace

namespace level_by {

LevelA par(MethodUse& use) { return level_by_par(use.sound.LAeq, use.use_rating()); }

LevelA octave(MethodUse& use) {
    use.result.octave = use.worn.octave;
    if (use.sound.borrowed) use.result.form = MethodForm::SpectrumLike;
    const OctaveLevelsA levels = use.sound.a_weighted_octaves();
    const OctaveMask used = bands_of_octave_method(levels.bands(), use.worn.octave->bands());
    use.result.starts_at_63_Hz = used.test(index_of(OctaveBand::Hz63));
    OctaveLevelsA others;
    for (const OctaveBand band : octave_bands) {
        const auto level = levels.at(band);
        if (level && !used.test(index_of(band))) others.set(band, *level);
    }
    use.result.left_out = others.sum();
    return level_by_octave_bands(levels, *use.worn.octave, use.ratings.alpha());
}

LevelA hml(MethodUse& use) { return use.sound.LAeq - reduction_by_hml_of(use); }

LevelA snr(MethodUse& use) {
    const LevelDifference second = use.use_second_protector();
    if (use.worn.is_estimated_from_two()) {
        use.note_origin(use.worn.SNR_from_octaves, use.worn.SNR_of_84);
        return level_by_snr_as_allowed(use, use.use_rating()) - second;
    }
    const RatingAt<LevelDifference>& rated = use.ratings.SNR();
    if (rated.from_octaves) use.result.octave = use.worn.octave;
    use.note_origin(rated.from_octaves, rated.of_84);
    return level_by_snr_as_allowed(use, use.use(rated.value));
}

LevelA nrr(MethodUse& use) {
    const NrrRule rule = derating_rows[use.rules.derating.kind].nrr_rule(use.worn.type).value();
    use.result.nrr_rule = rule;
    const LevelDifference second = use.use_second_protector();
    const LevelDifference none(0.0);
    const bool before = rule.second_protector_before_factors;
    const LevelDifference rating = rule.factor * (use.use_rating() + (before ? second : none));
    const LevelDifference at_end = before ? none : second;
    if (use.has_LC()) return level_by_nrr(use.use_LC(), rule.factor_at_end * rating) - at_end;
    use.use_only_LA(MethodForm::FromA, rule.factor_at_end * use.range().lowest,
                    rule.factor_at_end * use.range().highest);
    const LevelA undivided = level_by_nrr(use.sound.LAeq, rating, rule.allowance_with_A);
    return use.sound.LAeq - rule.factor_at_end * (use.sound.LAeq - undivided) - at_end;
}

LevelA nrr_sf(MethodUse& use) {
    const LevelDifference second = use.use_second_protector();
    const LevelDifference rating = use.use_rating();
    if (use.has_LC()) return level_by_nrr_sf(use.use_LC(), rating) - second;
    use.use_only_LA(MethodForm::FromA, use.range().lowest, use.range().highest);
    return level_by_nrr_sf(use.sound.LAeq, rating) - second;
}

LevelA slc80(MethodUse& use) {
    const LevelDifference second = use.use_second_protector();
    return level_by_slc80(use.use_LC(), use.use_rating()) - second;
}

}  // namespace level_by

const RatingAt<LevelDifference>& RatingsOfWorn::SNR() {
    if (!SNR_) SNR_ = snr_at(worn_.ratings, worn_.octave, alpha_);
    return SNR_.value();
}

const RatingAt<Hml>& RatingsOfWorn::hml() {
    if (!hml_) hml_ = hml_at(worn_.ratings, worn_.octave, alpha_);
    return hml_.value();
}

const Hml& RatingsOfWorn::hml_of_labels() {
    if (!hml_of_labels_) hml_of_labels_ = hml_at(worn_.ratings, worn_.octave, alpha_of_labels);
    return hml_of_labels_.value().value;
}

/// How far the reductions of all spectra of a folder differ: their standard deviation, at least the
/// least one.
LevelDifference Predictor::spread_over(const BorrowedSpectrum& borrowed, Method method) {
    std::vector<double> reductions;
    for (const SoundLevels& sound : borrowed.others) {
        if (find_obstacle(method, sound, worn_, rules_)) continue;
        Prediction unused{.method = method, .derating = {}, .performance = {}, .LA = sound.LAeq};
        const LevelA level = level_of(method, {sound, worn_, rules_, ratings_, unused});
        reductions.push_back((sound.LAeq - level).dB());
    }
    const double least = least_uncertainty_of_borrowed_spectrum.dB();
    if (reductions.size() < 2) return LevelDifference(least);
    const auto n = static_cast<double>(reductions.size());
    const double mean = std::accumulate(reductions.begin(), reductions.end(), 0.0) / n;
    double squares = 0.0;
    for (const double reduction : reductions)
        squares += (reduction - mean) * (reduction - mean);
    return LevelDifference(std::max(least, std::sqrt(squares / (n - 1.0))));
}

Prediction Predictor::of(Method method, const SoundLevels& sound) {
    Prediction result{.method = method,
                      .derating = rules_.derating,
                      .performance = rules_.performance,
                      .LA = sound.LAeq,
                      .estimated_pair = worn_.estimated_pair,
                      .one_unknown = worn_.one_unknown};
    result.by_method = sound.LAeq - level_of(method, {sound, worn_, rules_, ratings_, result});
    if (result.form == MethodForm::SpectrumLike) {
        result.form_uncertainty = spread_over(*sound.borrowed, method);
    }
    result.deduction =
        derating_rows[rules_.derating.kind].deduction(rules_.derating, worn_.type).value();
    if (result.reduction_by_M) {
        result.reduction_by_M =
            std::max(*result.reduction_by_M - result.deduction, LevelDifference(0.0));
    }
    // No prediction may promise more noise than is there: the level at the ear stays below LA.
    result.raised_to_zero = result.before_holding() < LevelDifference(0.0);
    result.reduction = std::max(result.before_holding(), LevelDifference(0.0));
    return result;
}

Prediction predict(Method method, const SoundLevels& sound, const AttenuationData& worn,
                   const PredictionRules& rules) {
    if (find_obstacle(method, sound, worn, rules))
        throw std::logic_error("predict was called although there is an obstacle");
    return Predictor(worn, rules).of(method, sound);
}

}  // namespace earbudget
