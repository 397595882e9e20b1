#pragma once

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/level_difference.hpp"

namespace earbudget {

/// What a poorly seated protector is taken to do where about 30 dB was expected
/// (common practice, no source).
inline constexpr LevelDifference poor_fit_reduction{10.0};

/// How a protector is worn by one person.
struct Wearing {
    double fraction_of_time = 1.0;  ///< of the noisy time, 0 to 1
    bool poor_fit = false;

    bool operator==(const Wearing&) const = default;
};

inline constexpr Formula formula_of_fit{
    "L' = LA − reduction; poorly seated LA − min(reduction, 10 dB)",
    "the method's; poorly seated: common practice, no source"};
inline constexpr Formula formula_of_wearing_time{"L = 10 lg(w·10^(L'/10) + (1 − w)·10^(LA/10))",
                                                 "energy sum over the wearing time; derived"};

/// The reduction while worn: as predicted, or no more than a poor fit gives.
[[nodiscard]] LevelDifference reduction_as_fitted(LevelDifference predicted, bool poor_fit);

/// The level at the ear averaged over the time with and without the protector:
/// 10 lg(w·10^(L'/10) + (1 − w)·10^(L/10)), an energy sum; derived.
[[nodiscard]] LevelA level_over_wearing_time(LevelA outside, LevelA while_worn,
                                             double fraction_of_time);

}  // namespace earbudget
