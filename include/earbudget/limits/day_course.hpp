#pragma once

#include <optional>
#include <vector>

#include "earbudget/day/exposure_day.hpp"
#include "earbudget/exposure/criterion.hpp"

namespace earbudget {

struct PersonResult;  // limits/assessment.hpp

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

    /// The course of one limit; null where it has none.
    [[nodiscard]] const AllowanceCourse* of(const Criterion& criterion) const;

    /// The first limit that is exceeded from within a row on; null where none is.
    [[nodiscard]] const AllowanceCourse* reached_in(std::size_t row) const;
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

/// The octave bands that are known of a row's sound, and by the octave method what comes through
/// what is worn. At the ear only while worn and well seated, and where the bands sum to the row's
/// level there: other methods, a poor fit and a background that nothing reduces say nothing of
/// bands. Empty without bands.
[[nodiscard]] std::vector<EarBandLevel> ear_spectrum(const ExposureRow& row);

/// Those of the sequence that has most of the day's sound energy at the ear; none where none has
/// any.
[[nodiscard]] std::optional<EarSpectrum> spectrum_with_most_energy(const PersonResult& result);

/// The row of the sequence that has most of the day's sound energy at the ear; null where none has
/// any. Points into the result.
[[nodiscard]] const ExposureRow* row_with_most_energy(const PersonResult& result);

/// The day that a result was made from, without its warnings.
[[nodiscard]] ExposureDay day_of(const PersonResult& result);

/// How a person's day uses each exposure limit. It ends at the value of judge_exposure and reaches
/// a limit exactly where that is over. Peaks are left out, since they do not add up.
[[nodiscard]] DayCourse allowance_course(const PersonResult& result);

}  // namespace earbudget
