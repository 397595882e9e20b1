#pragma once

#include <optional>

#include "earbudget/protection/predict.hpp"
#include "earbudget/protection/rating_from_octaves.hpp"

namespace earbudget {

/// Ratings of what is worn for the performance asked for, each found when a method first needs it:
/// they hang on no sound.
class RatingsOfWorn {
  public:
    RatingsOfWorn(const AttenuationData& worn, const PredictionRules& rules)
        : worn_(worn), alpha_(rules.performance.alpha()) {}

    [[nodiscard]] double alpha() const { return alpha_; }
    /// None of them may be missing (find_obstacle).
    [[nodiscard]] const RatingAt<LevelDifference>& SNR();
    [[nodiscard]] const RatingAt<Hml>& hml();
    [[nodiscard]] const Hml& hml_of_labels();

  private:
    const AttenuationData& worn_;
    double alpha_;
    std::optional<RatingAt<LevelDifference>> SNR_;
    std::optional<RatingAt<Hml>> hml_, hml_of_labels_;
};

/// Predicts many sounds through the same by the same rules, both of which outlive it.
class Predictor {
  public:
    Predictor(const AttenuationData& worn, const PredictionRules& rules)
        : worn_(worn), rules_(rules), ratings_(worn, rules) {}

    /// As predict, where find_obstacle was asked and found none.
    [[nodiscard]] Prediction of(Method method, const SoundLevels& sound);

  private:
    [[nodiscard]] LevelDifference spread_over(const BorrowedSpectrum& borrowed, Method method);

    const AttenuationData& worn_;
    const PredictionRules& rules_;
    RatingsOfWorn ratings_;
};

}  // namespace earbudget
