#include "earbudget/protection/predict.hpp"

#include <algorithm>
#include <stdexcept>

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
        return *result_.LC;
    }

    LevelA by_octaves() {
        result_.octave = worn_.octave;
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

    // The label where it holds, else computed from the octave data and rounded as a label is.
    LevelDifference by_hml() {
        const Ratings& label = worn_.ratings;
        const bool stated = !needs_computed_rating(Method::Hml, worn_, rules_);
        if (stated) {
            result_.hml = Hml{*label.H, *label.M, *label.L};
        } else {
            result_.octave = worn_.octave;
            const Hml exact = compute_hml(worn_.octave.value(), rules_.performance.alpha());
            result_.hml = Hml{rounded_as_label(exact.H), rounded_as_label(exact.M),
                              rounded_as_label(exact.L)};
        }
        result_.rating_from_octaves = !stated;
        return reduction_by_hml(c_minus_a(use_LC(), sound_.LAeq), *result_.hml);
    }

    LevelA by_snr() {
        // That of an estimated pair is of one of the two, and may have been computed there.
        const bool stated = !needs_computed_rating(Method::Snr, worn_, rules_);
        // An estimated pair keeps its allowance apart, its octave data already hold it.
        const LevelDifference allowance = stated ? worn_.second_protector : LevelDifference(0.0);
        result_.rating =
            stated
                ? *worn_.ratings.SNR
                : rounded_as_label(compute_snr(worn_.octave.value(), rules_.performance.alpha()));
        result_.rating_from_octaves = !stated || worn_.SNR_from_octaves;
        if (!stated) result_.octave = worn_.octave;
        result_.second_protector = allowance;
        return level_by_snr(use_LC(), *result_.rating) - allowance;
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
        const LevelA undivided = level_by_nrr(sound_.LAeq, rating, rule.allowance_with_A);
        return sound_.LAeq - rule.factor_at_end * (sound_.LAeq - undivided) - at_end;
    }

    LevelA by_nrr_sf() {
        result_.second_protector = worn_.second_protector;
        const LevelDifference rating = use(worn_.ratings.NRR_SF);
        const LevelA level = sound_.c_weighted_level() ? level_by_nrr_sf(use_LC(), rating)
                                                       : level_by_nrr_sf(sound_.LAeq, rating);
        return level - worn_.second_protector;
    }

    const SoundLevels& sound_;
    const AttenuationData& worn_;
    const PredictionRules& rules_;
    Prediction& result_;
};

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
    result.deduction = deduction(rules.derating, worn.type).value();
    const LevelDifference net = result.by_method - result.deduction;
    // No prediction may promise more noise than is there: the level at the ear stays below LA.
    result.raised_to_zero = net < LevelDifference(0.0);
    result.reduction = std::max(net, LevelDifference(0.0));
    return result;
}

}  // namespace earbudget
