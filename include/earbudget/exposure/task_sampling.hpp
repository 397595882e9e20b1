#pragma once

#include <span>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/acoustics/units.hpp"

namespace earbudget {

/// Measured levels of one task, each an LAeq,T.
using LevelSamples = std::span<const LevelA>;

/// So many measurements of a task are the least (ISO 9612:2009, 9.3; memory).
inline constexpr std::size_t fewest_samples = 3;

/// From here on the spread of fewer than twice as many asks for more of them, or for the task to be
/// divided (ISO 9612:2009, 9.3; memory).
inline constexpr LevelDifference spread_that_asks_for_more{3.0};

inline constexpr Formula formula_of_sampled_level{"LAeq = 10 lg(1/I · Σ 10^(Li/10))",
                                                  "ISO 9612:2009, formula 7 (memory)"};
inline constexpr Formula formula_of_sampling{"u1a = √(Σ (Li − L̄)² / (I·(I − 1))), L̄ = Σ Li / I",
                                             "ISO 9612:2009, C.3 (memory)"};
inline constexpr Formula formula_of_duration_range{
    "u1b = (T highest − T lowest)/2; as a level 10/ln 10 · u1b/T times the task's share",
    "ISO 9612:2009, C.3 (memory)"};

/// The energy average of the samples, of which there must be one at least.
[[nodiscard]] LevelA level_of_samples(LevelSamples samples);

/// Standard uncertainty u1a that the samples leave: the standard deviation of their arithmetic
/// mean; of at least two.
[[nodiscard]] LevelDifference sampling_uncertainty(LevelSamples samples);

/// From the lowest to the highest sample.
[[nodiscard]] LevelDifference spread_of_samples(LevelSamples samples);

/// Whether so few samples that lie so far apart ask for more.
[[nodiscard]] bool asks_for_more_samples(LevelSamples samples);

/// From the shortest to the longest that a task takes.
struct DurationRange {
    Seconds shortest;
    Seconds longest;

    /// Standard uncertainty u1b of the duration: half the range.
    [[nodiscard]] Seconds standard_uncertainty() const { return 0.5 * (longest - shortest); }

    bool operator==(const DurationRange&) const = default;
};

}  // namespace earbudget
