#pragma once

#include "earbudget/protection/predict.hpp"

namespace earbudget {

/// What one method is given, and the prediction in which it keeps what it used of that.
struct MethodUse {
    const SoundLevels& sound;
    const AttenuationData& worn;
    const PredictionRules& rules;
    Prediction& result;

    [[nodiscard]] bool has_LC() const { return sound.c_weighted_level().has_value(); }
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

}  // namespace earbudget
