#include "earbudget/protection/predict.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>
#include <vector>

#include "earbudget/protection/rating_at_performance.hpp"

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
        result_.form_ends = {at_one_end, at_other_end};
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

    /// A label for 84 % that stands for another performance.
    void note_label(bool of_84) {
        if (!of_84) return;
        result_.asked_of_label = rules_.performance;
        result_.performance = ProtectionPerformance();
    }

    LevelDifference by_hml() {
        const auto at = [&](double alpha) {
            return hml_at(worn_.ratings, worn_.octave, alpha).value();
        };
        const auto rated = at(rules_.performance.alpha());
        result_.hml = rated.value;
        result_.rating_from_octaves = rated.from_octaves;
        if (rated.from_octaves) result_.octave = worn_.octave;
        note_label(rated.of_84);
        if (!sound_.c_weighted_level()) return by_hml_check(rated.value);
        const LevelDifference LC_minus_LA = c_minus_a(use_LC(), sound_.LAeq);
        const bool beyond = LC_minus_LA > highest_of_hml || LC_minus_LA < lowest_of_hml;
        if (rules_.performance.is_of_labels() || !beyond) {
            return reduction_by_hml(LC_minus_LA, rated.value);
        }
        result_.hml_of_labels = at(alpha_of_labels).value;
        return reduction_by_hml(LC_minus_LA, rated.value, *result_.hml_of_labels);
    }

    LevelDifference by_hml_check(const Hml& hml) {
        const bool by_M = sound_.low_frequency == false;
        if (!by_M) result_.reduction_by_M = hml.M;
        use_only_LA(by_M ? MethodForm::CheckM : MethodForm::CheckL,
                    reduction_by_hml(range().lowest, hml), reduction_by_hml(range().highest, hml));
        return by_M ? hml.M : hml.L;
    }

    LevelA by_snr() {
        result_.second_protector = worn_.second_protector;
        if (worn_.is_estimated_from_two()) {
            result_.rating_from_octaves = worn_.SNR_from_octaves;
            note_label(worn_.SNR_of_84);
            return level_by(use(worn_.ratings.SNR)) - worn_.second_protector;
        }
        const auto rated = snr_at(worn_.ratings, worn_.octave, rules_.performance.alpha()).value();
        result_.rating_from_octaves = rated.from_octaves;
        if (rated.from_octaves) result_.octave = worn_.octave;
        note_label(rated.of_84);
        return level_by(use(rated.value));
    }

    /// By SNR, in the form that the sound allows.
    LevelA level_by(LevelDifference SNR) {
        if (sound_.c_weighted_level()) return level_by_snr(use_LC(), SNR);
        use_only_LA(MethodForm::SnrFromA, range().lowest, range().highest);
        return level_by_snr_from_A(sound_.LAeq, SNR);
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
    // No prediction may promise more noise than is there: the level at the ear stays below LA.
    result.raised_to_zero = result.before_holding() < LevelDifference(0.0);
    result.reduction = std::max(result.before_holding(), LevelDifference(0.0));
    return result;
}

}  // namespace earbudget
