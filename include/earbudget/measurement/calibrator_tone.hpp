#pragma once

#include <variant>
#include <vector>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/acoustics/frequency.hpp"
#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/measurement/finding.hpp"
#include "earbudget/measurement/sample_source.hpp"

namespace earbudget {

/// By how much the calibrator may read differently before and after a measurement; beyond that the
/// measurement is discarded (ISO 9612; memory).
inline constexpr LevelDifference greatest_drift{0.5};

/// How far a calibrator of class 1 may be from the level that it states (IEC 60942:2017, class 1;
/// secondary source): no recording can tell, so that it is a part of the uncertainty.
inline constexpr LevelDifference calibrator_level_tolerance{0.25};

/// What a recorded tone must keep to, to be taken for a calibrator's: frequency and distortion of
/// IEC 60942:2017, class 1 (secondary source); all else is ours.
struct CalibratorToneLimits {
    /// From 250 Hz or 1 kHz, as a ratio (IEC 60942:2017, class 1).
    static constexpr double frequency_deviation = 0.007;
    static constexpr LevelDifference spread{0.2};  ///< highest minus lowest level
    /// From here on another steady tone of the recording is a second level.
    static constexpr LevelDifference second_level = greatest_drift;
    static constexpr Seconds shortest{1.0};
    /// Amplitude of all else above half its frequency, to the tone (IEC 60942:2017, class 1).
    static constexpr double distortion = 0.025;
    static constexpr Seconds searched{600.0};  ///< how much of the recording is looked at
};

/// The steady part of a calibrator's recorded tone.
struct CalibratorTone {
    LevelFS level;  ///< of the tone alone: hum beside it does not count
    Frequency frequency;
    Seconds steady;          ///< length of the part used
    LevelDifference spread;  ///< highest minus lowest level within it
};

/// The tone, or the reason why it cannot be used.
using CalibratorToneResult = std::variant<CalibratorTone, Finding>;

/// Looks for a calibrator's tone in every channel; handling noise before and after is passed over.
/// Throws what `source` throws.
[[nodiscard]] std::vector<CalibratorToneResult> find_calibrator_tones(SampleSource& source);

}  // namespace earbudget
