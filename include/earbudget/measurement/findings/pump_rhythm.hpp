#pragma once

#include <optional>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/meters/time_weighted_meter.hpp"

namespace earbudget {

/// The stroke of the pump that keeps the magnet's helium cold, heard all the time in the
/// background.
struct PumpRhythm {
    Seconds period;         ///< from stroke to stroke, 0.25 s to 1 s
    LevelDifference swing;  ///< highest minus lowest level of the mean stroke, in steps of about
                            ///< 50 ms: shorter strokes swing more than this
};

/// The rhythm of 1 to 4 strokes a second that stands out of chance; none where there is none.
///
/// The levels of the steps are searched for spectral lines: a fundamental and up to three harmonics
/// are weighed against the spectrum on both sides of each. Chance is meant to do as much once in a
/// million recordings of random sound. A recording below 8 s, a swing below 0.5 dB (steady low
/// tones, too, ripple by up to 0.45 dB from step to step) and a harmonic of a slower rhythm give
/// none. Any lasting rhythm of 1 Hz to 4 Hz counts, also of something other than a pump. Of long
/// recordings the first ten minutes are judged.
///
/// In 5 min with a swing of 2 dB in noise of 1.1 dB a step the period is accurate to 0.003 % at two
/// strokes a second (9 ms in all) and to 0.01 % at one, k = 1. In 10 s with 5 dB it is accurate to
/// 0.25 %; 2 dB are then not yet found.
[[nodiscard]] std::optional<PumpRhythm> find_pump_rhythm(const LevelHistory& history);

/// The longest whole number of strokes not above `duration`; 0 s below one stroke.
[[nodiscard]] Seconds whole_strokes(const PumpRhythm& rhythm, Seconds duration);

}  // namespace earbudget
