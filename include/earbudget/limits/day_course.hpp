#pragma once

#include <optional>
#include <vector>

#include "earbudget/day/exposure_day.hpp"
#include "earbudget/exposure/criterion.hpp"

namespace earbudget {

/// So much of an allowance is used so long after the day began.
struct AllowancePoint {
    Seconds at;
    double percent;
};

/// What the day uses of one limit as it goes on, in percent of what the limit permits: of a dose in
/// percent of the dose permitted, of a level by energy; for the highest hour and the loudest part
/// by the highest so far. Weekly limits count every day of the week as so far on.
struct AllowanceCourse {
    const Criterion* criterion;  ///< owned by the plan's person
    /// From 0 s to the end of the day, straight lines between; two points at one time are a jump.
    std::vector<AllowancePoint> points = {};
    std::vector<double> after_row = {};             ///< percent at the end of each row of the day
    std::optional<Seconds> reached = std::nullopt;  ///< from when on it is exceeded; none: never
};

/// The courses of a person's day.
struct DayCourse {
    std::vector<std::size_t>
        rows;                   ///< in the order in which they are heard, by index of `segments`
    std::vector<Seconds> ends;  ///< of each, from the beginning of the day
    std::vector<AllowanceCourse> allowances;  ///< one an exposure limit for the person's role

    /// The limit of which most is used at the end of a row; null without limits.
    [[nodiscard]] const AllowanceCourse* tightest_after(std::size_t row) const;

    /// The largest share of any limit at the end of a row; none without limits.
    [[nodiscard]] std::optional<double> highest_after(std::size_t row) const;
};

/// One octave band of a sound, A-weighted, outside and at the ear.
struct EarBandLevel {
    OctaveBand band;
    LevelA outside;
    /// Assumed protection value less the derating's deduction; none where the method does not say.
    std::optional<LevelDifference> attenuation = std::nullopt;
    std::optional<LevelA> at_ear = std::nullopt;  ///< while worn
};

/// The octave bands of one sequence.
struct EarSpectrum {
    std::size_t sequence;                  ///< of the plan
    std::vector<EarBandLevel> bands = {};  ///< none where none are known
};

}  // namespace earbudget
