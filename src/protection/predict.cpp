#include "earbudget/protection/predict.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>
#include <vector>

namespace earbudget {

namespace {

// One method's own part of a prediction: fills what it used and returns its level at the ear.
class MethodStep {
  public:
    MethodStep(const SoundLevels& sound, const AttenuationData& worn, const PredictionRules& rules,
               Prediction& result)
        : sound_(sound), worn_(worn), rules_(rules), result_(result) {}

    [[nodiscard]] LevelA level(Method method) {
        switch (method) {
            case Method::Par:
                return level_by_par(sound_.LAeq, use(worn_.ratings.PAR));
            case Method::Octave:
                return by_octaves();
            case Method::Hml:
                return sound_.LAeq - by_hml();
            case Method::Snr:
                return by_snr();
            case Method::Nrr:
                return by_nrr();
            case Method::NrrSf:
                return by_nrr_sf();
            case Method::Slc80:
                result_.second_protector = worn_.second_protector;
                return level_by_slc80(use_LC(), use(worn_.ratings.SLC80)) - worn_.second_protector;
        }
        throw std::logic_error("unknown method");
    }

  private:
    LevelDifference use(const std::optional<LevelDifference>& rating) {
        result_.rating = rating.value();
        return *rating;
    }
    LevelC use_LC() {
        result_.LC = sound_.c_weighted_level().value();
        result_.LC_without_63_Hz = !sound_.LCeq && !sound_.octave.has(OctaveBand::Hz63);
        if (sound_.borrowed && !sound_.LCeq) result_.form = MethodForm::SpectrumLike;
        return *result_.LC;
    }
    /// What is found from LA alone, with the reductions at the ends of what LC − LA may be.
    void use_only_LA(MethodForm form, LevelDifference at_one_end, LevelDifference at_other_end) {
        result_.form = form;
        result_.form_uncertainty = uncertainty_between(at_one_end, at_other_end);
    }
    [[nodiscard]] RangeOfCMinusA range() const { return range_of_C_minus_A(sound_.low_frequency); }

    LevelA by_octaves() {
        result_.octave = worn_.octave;
        if (sound_.borrowed) result_.form = MethodForm::SpectrumLike;
        const OctaveLevelsA levels = sound_.a_weighted_octaves();
        const OctaveMask used = bands_of_octave_method(levels.bands(), worn_.octave->bands());
        result_.starts_at_63_Hz = used.test(index_of(OctaveBand::Hz63));
        OctaveLevelsA others;
        for (const OctaveBand band : octave_bands) {
            const auto level = levels.at(band);
            if (level && !used.test(index_of(band))) others.set(band, *level);
        }
        result_.left_out = others.sum();
        return level_by_octave_bands(levels, *worn_.octave, rules_.performance.alpha());
    }

    /// Whether a label counts and not what is computed from octave data: at 84 %, where there are
    /// no such data, and where the computed value would make more people better protected than
    /// fewer.
    [[nodiscard]] bool label_counts(bool stated, LevelDifference by_label,
                                    const std::optional<LevelDifference>& computed) {
        if (!stated) return false;
        if (rules_.performance.is_of_labels()) return true;
        if (computed) {
            return rules_.performance.is_above_labels() ? by_label <= *computed
                                                        : by_label >= *computed;
        }
        result_.asked_of_label = rules_.performance;
        result_.performance = ProtectionPerformance();
        return true;
    }

    /// By H, M and L, in the form that the sound allows.
    [[nodiscard]] LevelDifference reduction_by(const Hml& hml) const {
        if (const auto LC = sound_.c_weighted_level()) {
            return reduction_by_hml(c_minus_a(*LC, sound_.LAeq), hml);
        }
        return sound_.low_frequency == false ? hml.M : hml.L;
    }

    // The label where it counts, else computed from the octave data and rounded as a label is.
    LevelDifference by_hml() {
        const Ratings& label = worn_.ratings;
        std::optional<Hml> stated;
        if (!needs_computed_rating(Method::Hml, worn_)) stated = Hml{*label.H, *label.M, *label.L};
        std::optional<Hml> computed;
        if (has_octaves() && !(stated && rules_.performance.is_of_labels())) {
            const Hml exact = compute_hml(*worn_.octave, rules_.performance.alpha());
            computed = Hml{rounded_as_label(exact.H), rounded_as_label(exact.M),
                           rounded_as_label(exact.L)};
        }
        const bool by_label =
            label_counts(stated.has_value(), stated ? reduction_by(*stated) : LevelDifference(0.0),
                         computed ? std::optional(reduction_by(*computed)) : std::nullopt);
        result_.hml = by_label ? *stated : computed.value();
        result_.rating_from_octaves = !by_label;
        if (!by_label) result_.octave = worn_.octave;
        note_form(*result_.hml);
        return reduction_by(*result_.hml);
    }

    void note_form(const Hml& hml) {
        if (sound_.c_weighted_level()) {
            static_cast<void>(use_LC());
            return;
        }
        const bool by_M = sound_.low_frequency == false;
        if (!by_M) result_.reduction_by_M = hml.M;
        use_only_LA(by_M ? MethodForm::CheckM : MethodForm::CheckL,
                    reduction_by_hml(range().lowest, hml), reduction_by_hml(range().highest, hml));
    }

    [[nodiscard]] bool has_octaves() const {
        return worn_.octave && hold_all_from_125_Hz(worn_.octave->bands());
    }

    LevelA by_snr() {
        // That of an estimated pair is of one of the two, and may have been computed there; its
        // allowance is kept apart, its octave data already hold it.
        const bool stated = !needs_computed_rating(Method::Snr, worn_);
        std::optional<LevelDifference> computed;
        const bool at_label = rules_.performance.is_of_labels();
        // For fewer people than a label's a pair keeps the published "higher rating plus 5 dB".
        const bool published = worn_.estimated_pair && !rules_.performance.is_above_labels();
        if (has_octaves() && !(stated && (at_label || published))) {
            computed = rounded_as_label(compute_snr(*worn_.octave, rules_.performance.alpha()));
        }
        const LevelDifference of_label =
            stated ? *worn_.ratings.SNR + worn_.second_protector : LevelDifference(0.0);
        const bool by_label = label_counts(stated, of_label, computed);
        result_.rating = by_label ? *worn_.ratings.SNR : computed.value();
        result_.rating_from_octaves = !by_label || worn_.SNR_from_octaves;
        if (!by_label) result_.octave = worn_.octave;
        if (by_label) result_.second_protector = worn_.second_protector;
        if (sound_.c_weighted_level()) {
            return level_by_snr(use_LC(), *result_.rating) - result_.second_protector;
        }
        use_only_LA(MethodForm::SnrFromA, range().lowest, range().highest);
        return level_by_snr(sound_.LAeq, *result_.rating) - result_.second_protector;
    }

    LevelA by_nrr() {
        const NrrRule rule = nrr_rule(rules_.derating.kind, worn_.type).value();
        result_.nrr_rule = rule;
        result_.second_protector = worn_.second_protector;
        const LevelDifference none(0.0);
        const bool before = rule.second_protector_before_factors;
        const LevelDifference rating =
            rule.factor * (use(worn_.ratings.NRR) + (before ? worn_.second_protector : none));
        const LevelDifference at_end = before ? none : worn_.second_protector;
        if (sound_.c_weighted_level()) {
            return level_by_nrr(use_LC(), rule.factor_at_end * rating) - at_end;
        }
        use_only_LA(MethodForm::FromA, rule.factor_at_end * range().lowest,
                    rule.factor_at_end * range().highest);
        const LevelA undivided = level_by_nrr(sound_.LAeq, rating, rule.allowance_with_A);
        return sound_.LAeq - rule.factor_at_end * (sound_.LAeq - undivided) - at_end;
    }

    LevelA by_nrr_sf() {
        result_.second_protector = worn_.second_protector;
        const LevelDifference rating = use(worn_.ratings.NRR_SF);
        if (sound_.c_weighted_level()) {
            return level_by_nrr_sf(use_LC(), rating) - worn_.second_protector;
        }
        use_only_LA(MethodForm::FromA, range().lowest, range().highest);
        return level_by_nrr_sf(sound_.LAeq, rating) - worn_.second_protector;
    }

    const SoundLevels& sound_;
    const AttenuationData& worn_;
    const PredictionRules& rules_;
    Prediction& result_;
};

/// How far the reductions of all spectra of a folder differ: their standard deviation, at least the
/// least one.
LevelDifference spread_over(const BorrowedSpectrum& borrowed, Method method,
                            const AttenuationData& worn, const PredictionRules& rules) {
    std::vector<double> reductions;
    for (const SoundLevels& sound : borrowed.others) {
        if (find_obstacle(method, sound, worn, rules)) continue;
        Prediction unused{.method = method, .derating = {}, .performance = {}, .LA = sound.LAeq};
        const LevelA level = MethodStep(sound, worn, rules, unused).level(method);
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

}  // namespace

Prediction predict(Method method, const SoundLevels& sound, const AttenuationData& worn,
                   const PredictionRules& rules) {
    if (const auto obstacle = find_obstacle(method, sound, worn, rules)) {
        throw std::logic_error("predict was called although the protection " + obstacle->text);
    }
    Prediction result{.method = method,
                      .derating = rules.derating,
                      .performance = rules.performance,
                      .LA = sound.LAeq,
                      .estimated_pair = worn.estimated_pair,
                      .one_unknown = worn.one_unknown};
    result.by_method = sound.LAeq - MethodStep(sound, worn, rules, result).level(method);
    if (result.form == MethodForm::SpectrumLike) {
        result.form_uncertainty = spread_over(*sound.borrowed, method, worn, rules);
    }
    result.deduction = deduction(rules.derating, worn.type).value();
    if (result.reduction_by_M) {
        result.reduction_by_M =
            std::max(*result.reduction_by_M - result.deduction, LevelDifference(0.0));
    }
    const LevelDifference net = result.by_method - result.deduction;
    // No prediction may promise more noise than is there: the level at the ear stays below LA.
    result.raised_to_zero = net < LevelDifference(0.0);
    result.reduction = std::max(net, LevelDifference(0.0));
    return result;
}

}  // namespace earbudget
