#pragma once

#include <algorithm>
#include <string_view>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/computing/rows.hpp"
#include "earbudget/day/warning.hpp"

namespace earbudget {

/// How useful a level at the ear is while sequences run, by EN 458 (75 to 80 dB(A) seen in a
/// secondary source, the rest from memory).
enum class EarBand { Insufficient, AcceptableHigh, Ideal, AcceptableLow, MoreThanUseful };

struct EarBandRow {
    EarBand key;
    std::string_view name;
    std::string_view in_results;
    std::string_view in_words;
    LevelA lower_end;       ///< dB(A) under the protector
    bool with_end = false;  ///< the level at its end is in it
};

inline constexpr auto ear_bands = rows_of<EarBandRow>({
    {EarBand::Insufficient, "insufficient", "insufficient", "insufficient", LevelA(85.0)},
    {EarBand::AcceptableHigh, "acceptable-high", "acceptable", "acceptable", LevelA(80.0)},
    {EarBand::Ideal, "ideal", "ideal", "ideal", LevelA(75.0), true},
    {EarBand::AcceptableLow, "acceptable-low", "acceptable", "acceptable", useful_from_by_EN_458,
     true},
    {EarBand::MoreThanUseful, "more-than-useful", "more-than-useful", "more than is useful",
     LevelA(-1000.0)},
});

inline constexpr std::string_view source_of_ear_band =
    "EN 458, 75 to 80 dB(A) from a secondary source, the rest from memory (edition not confirmed)";

[[nodiscard]] constexpr EarBand ear_band(LevelA at_ear) {
    return std::ranges::find_if(ear_bands,
                                [at_ear](const EarBandRow& row) {
                                    return at_ear > row.lower_end ||
                                           (row.with_end && at_ear == row.lower_end);
                                })
        ->key;
}

/// As written in results: "insufficient", "acceptable", "ideal", "acceptable", "more-than-useful".
[[nodiscard]] constexpr std::string_view name_of(EarBand band) {
    return ear_bands[band].in_results;
}

/// "insufficient by EN 458" and the like; where it is within every limit, or close, all the same,
/// why both hold.
[[nodiscard]] inline Message by_EN_458(LevelA at_ear, bool within_limits, bool close) {
    const EarBand band = ear_band(at_ear);
    const unsigned which = band != EarBand::Insufficient ? 0U : within_limits ? 1U : close ? 2U : 0U;
    return say<WarningPhrase::ByEN458>(ear_bands[band].in_words, which);
}

}  // namespace earbudget
