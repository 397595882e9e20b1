#include "earbudget/protection/predict.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>
#include <vector>

#include "protection/method_use.hpp"

namespace earbudget {

namespace {

/// How far the reductions of all spectra of a folder differ: their standard deviation, at least the
/// least one.
LevelDifference spread_over(const BorrowedSpectrum& borrowed, Method method,
                            const AttenuationData& worn, const PredictionRules& rules) {
    std::vector<double> reductions;
    for (const SoundLevels& sound : borrowed.others) {
        if (find_obstacle(method, sound, worn, rules)) continue;
        Prediction unused{.method = method, .derating = {}, .performance = {}, .LA = sound.LAeq};
        const LevelA level = level_of(method, {sound, worn, rules, unused});
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
    if (find_obstacle(method, sound, worn, rules))
        throw std::logic_error("predict was called although there is an obstacle");
    Prediction result{.method = method,
                      .derating = rules.derating,
                      .performance = rules.performance,
                      .LA = sound.LAeq,
                      .estimated_pair = worn.estimated_pair,
                      .one_unknown = worn.one_unknown};
    result.by_method = sound.LAeq - level_of(method, {sound, worn, rules, result});
    if (result.form == MethodForm::SpectrumLike) {
        result.form_uncertainty = spread_over(*sound.borrowed, method, worn, rules);
    }
    result.deduction =
        derating_rows[rules.derating.kind].deduction(rules.derating, worn.type).value();
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
