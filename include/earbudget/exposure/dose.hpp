#pragma once

#include <optional>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/exposure/exposure_part.hpp"

namespace earbudget {

/// How levels and times become a noise dose in percent.
///
/// The permitted time at a level is hours / 2^((L − level)/exchange): with an exchange of 3 dB this
/// is 2^(ΔL/3), not 10^(ΔL/10), as the criteria that are stated by an exchange rate print their
/// tables (the two differ by 2.6 % at ΔL = 33 dB).
struct DoseRule {
    LevelA level;              ///< the level permitted for `hours`
    LevelDifference exchange;  ///< raising the level by this halves the permitted time
    Hours hours;
    std::optional<LevelA> threshold = std::nullopt;  ///< lower levels do not count
    std::optional<LevelA> ceiling = std::nullopt;    ///< higher levels are not permitted at all

    /// The permitted time at a level, whatever threshold and ceiling say.
    [[nodiscard]] Seconds permitted_time(LevelA at) const;

    /// Whether a level counts towards the dose; one that equals the threshold but for arithmetic
    /// does.
    [[nodiscard]] bool counts(LevelA at) const {
        return !threshold || at >= *threshold - level_slack;
    }

    bool operator==(const DoseRule&) const = default;
};

inline constexpr Formula formula_of_dose{
    "D = 100·Σ Ci/Ti, Ti = hours / 2^((Li − level)/exchange); levels below the threshold count 0",
    "NIOSH 98-126, 1.1; 29 CFR 1910.95, appendix A"};
inline constexpr Formula formula_of_dose_margin{
    "margin = exchange·lg(limit/D)/lg 2, D of the levels that count when all rise or fall by it",
    "29 CFR 1910.95, appendix A, II, solved for the level; derived"};
inline constexpr Formula formula_of_threshold_margin{
    "margin = threshold − L: with this level the dose passes the limit as it begins to count",
    "derived"};
inline constexpr Formula formula_of_ceiling_margin{
    "margin = ceiling − L of the loudest part: higher levels are not permitted for any time",
    "the criterion's own"};

/// Dose 100·Σ C/T in percent (NIOSH 98-126, 1.1; 29 CFR 1910.95, appendix A).
[[nodiscard]] double dose_percent(ExposureParts parts, const DoseRule& rule);

/// The level that gives this dose in the rule's hours, exchange·lg(D/100)/lg 2 + level
/// (29 CFR 1910.95, appendix A, II); none for a dose of zero.
[[nodiscard]] std::optional<LevelA> time_weighted_average(double dose_percent,
                                                          const DoseRule& rule);

/// What the margin of a dose comes from.
struct DoseMargin {
    enum class By { Dose, Threshold, Ceiling };

    LevelDifference margin;
    By by = By::Dose;
    double dose_percent = 0.0;  ///< By::Dose: of the levels that then count, threshold left aside
    LevelA level{0.0};          ///< By::Threshold and By::Ceiling: that decides
};

/// dose_margin with what it comes from.
[[nodiscard]] std::optional<DoseMargin> dose_margin_worked(ExposureParts parts,
                                                           const DoseRule& rule,
                                                           double limit_percent);

/// By how much all levels may rise together before the dose exceeds `limit_percent`, or must fall
/// when it is negative; threshold and ceiling are taken into account. None without sound.
[[nodiscard]] std::optional<LevelDifference> dose_margin(ExposureParts parts, const DoseRule& rule,
                                                         double limit_percent);

}  // namespace earbudget
