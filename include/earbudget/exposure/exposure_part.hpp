#pragma once

#include <optional>
#include <span>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/acoustics/units.hpp"

namespace earbudget {

/// A stretch of a day at one A-weighted level. No level: time without sound.
struct ExposurePart {
    std::optional<LevelA> level;
    Seconds time;
};

/// The reference duration of LEX,8h (ISO 9612, clause 3).
inline constexpr Seconds reference_day = Hours(8);

/// The parts of a day in their order.
using ExposureParts = std::span<const ExposurePart>;

inline constexpr Formula formula_of_total_time{"T = Σ Ti", "sum of the times"};
inline constexpr Formula formula_of_time_average{"LAeq = 10 lg(1/T · Σ Ti·10^(Li/10)), T = Σ Ti",
                                                 "IEC 61672-1:2013, 3.11 (clause from memory)"};
inline constexpr Formula formula_of_daily_exposure{"LEX,8h = 10 lg Σ (Ti / 8 h)·10^(Li/10)",
                                                   "ISO 9612:2009, clause 9"};
inline constexpr Formula formula_of_daily_exposure_at_ear{
    "LEX,8h at the ear = 10 lg Σ (Ti / 8 h)·10^(Li/10), Li at the ear",
    "Directive 2003/10/EC, article 3(2), counts what protectors do (clause from memory); Li under "
    "them by the method's source; the scope of ISO 9612:2009 leaves the ear under protectors out"};
inline constexpr Formula formula_of_highest_average{
    "LAeq,1h = 10 lg(1/(1 h) · Σ Ti·10^(Li/10)) over the hour where it is highest",
    "IEC 61672-1:2013, 3.11 (clause from memory), over one hour"};
inline constexpr Formula formula_of_loudest{"the highest of the levels Li", "maximum"};
inline constexpr Formula formula_of_sound_exposure{"E = Σ (20 µPa)²·10^(Li/10)·Ti",
                                                   "IEC 61672-1:2013, 3.13 (clause from memory)"};

/// All the time, also that without sound.
[[nodiscard]] Seconds total_time(ExposureParts parts);

/// The loudest level of the day; none without sound.
[[nodiscard]] std::optional<LevelA> loudest(ExposureParts parts);

/// Energy-average over the whole time of the parts (IEC 61672-1, 3.11); none without sound.
[[nodiscard]] std::optional<LevelA> time_average(ExposureParts parts);

/// Daily noise exposure level LEX,8h = 10 lg Σ (Tm / 8 h)·10^(Lm/10) (ISO 9612, clause 9, for what
/// is heard outside protectors; under them the same sum by Directive 2003/10/EC, article 3(2));
/// none without sound.
[[nodiscard]] std::optional<LevelA> daily_exposure_level(ExposureParts parts);

/// A stretch of a day.
struct LoudestStretch {
    Seconds begin;  ///< from the beginning of the day; negative: silence before it
    LevelA average;
};

/// Where the average over any stretch of `window` is highest, the first of several; none without
/// sound.
[[nodiscard]] std::optional<LoudestStretch> loudest_stretch(ExposureParts parts, Seconds window);

/// The highest LAeq over any stretch of `window` of the day, silence before and after it;
/// none without sound.
[[nodiscard]] std::optional<LevelA> highest_average(ExposureParts parts, Seconds window);

/// A-weighted sound exposure of the day in Pa²h (IEC 61672-1, 3.13), 0 without sound.
[[nodiscard]] double sound_exposure_Pa2h(ExposureParts parts);

}  // namespace earbudget
