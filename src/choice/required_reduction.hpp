#pragma once

#include <optional>

#include "earbudget/computing/solver.hpp"
#include "earbudget/day/exposure_day.hpp"

namespace earbudget {

/// The least reduction, to the next tenth of a decibel, that keeps something; none where not even
/// highest_attenuation does. `keeps` is false up to some reduction and true from there on.
template <class Keeps>
[[nodiscard]] std::optional<LevelDifference> least_reduction(const Keeps& keeps) {
    const auto reduction = [](int tenths) { return LevelDifference(0.1 * tenths); };
    const auto least = least_that_keeps(static_cast<int>(10.0 * highest_attenuation.dB()),
                                        [&](int tenths) { return keeps(reduction(tenths)); });
    return least ? std::optional(reduction(*least)) : std::nullopt;
}

/// How much more reduction than now keeps every exposure limit that counts for protection, to the
/// next tenth of a decibel; none where no reduction that people can get would.
[[nodiscard]] std::optional<LevelDifference> missing_reduction(const Person& person,
                                                               const ExposureDay& day);

}  // namespace earbudget
