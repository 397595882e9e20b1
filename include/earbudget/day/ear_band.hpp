#pragma once

#include <string_view>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/message.hpp"

namespace earbudget {

/// How useful a level at the ear is while sequences run, by EN 458 (75 to 80 dB(A) seen in a
/// secondary source, the rest from memory).
enum class EarBand {
    Insufficient,    ///< above 85 dB(A)
    AcceptableHigh,  ///< above 80 to 85 dB(A)
    Ideal,           ///< 75 to 80 dB(A)
    AcceptableLow,   ///< 70 to below 75 dB(A)
    MoreThanUseful   ///< below 70 dB(A)
};

inline constexpr std::string_view source_of_ear_band =
    "EN 458, 75 to 80 dB(A) from a secondary source, the rest from memory (edition not confirmed)";

[[nodiscard]] EarBand ear_band(LevelA at_ear);

/// As written in results: "insufficient", "acceptable", "ideal", "acceptable", "more-than-useful".
[[nodiscard]] std::string_view name_of(EarBand band);

/// "insufficient by EN 458" and the like; where every limit is kept all the same, why both hold.
[[nodiscard]] Message by_EN_458(LevelA at_ear, bool within_limits);

}  // namespace earbudget
