#pragma once

#include <array>
#include <optional>
#include <vector>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/calibration/calibration.hpp"
#include "earbudget/measurement/findings/finding.hpp"
#include "earbudget/measurement/meters/channel_reading.hpp"
#include "earbudget/measurement/meters/mean_square_meter.hpp"
#include "earbudget/measurement/meters/time_weighted_meter.hpp"

namespace earbudget {

/// The levels of one channel, re 20 µPa, and what its reader must know about them.
/// Every level is between −20 and 190 dB or absent, and then a finding says why.
struct ChannelLevels {
    Seconds duration;
    std::optional<LevelA> LAeq;
    std::optional<LevelC> LCeq;
    std::optional<LevelZ> LZeq;
    std::optional<ExposureLevelA> LAE;
    std::optional<PeakLevelC> LCpeak;
    std::optional<PeakLevelZ> LZpeak;
    OctaveLevelsZ octave;
    OctaveLevelsA octave_A;
    ThirdOctaveLevels<quantity::Unweighted> third_octave;

    std::optional<LevelA> LAFmax, LAFmin;
    std::optional<LevelA> LASmax, LASmin;
    /// F levels exceeded during `exceeded_percent` of the time: LAF10, LAF50, …
    std::array<std::optional<LevelA>, exceeded_percent.size()> LAF_exceeded;
    std::vector<std::optional<LevelA>> seconds;  ///< LAeq of each second; none for silence
    Seconds last_second{0.0};                    ///< how long the last of them is

    OctaveMask above_nyquist;  ///< bands that the sampling rate cannot carry
    std::vector<Finding> findings;

    /// What a sequence card states; none without LAeq.
    [[nodiscard]] std::optional<SoundLevels> sound_levels() const;
};

/// The levels that a reading means under a calibration.
[[nodiscard]] ChannelLevels calibrated(const ChannelReading& reading,
                                       const Calibration& calibration);

/// What can be said of a reading without knowing its calibration: clipping, dropouts, a constant
/// offset, duration, bands above half the sampling rate, a signal close to its own quantization
/// noise. Part of `calibrated`.
[[nodiscard]] std::vector<Finding> findings_of(const ChannelReading& reading);

/// What the course of the level says of a recording that is to stand for one sequence: not steady,
/// or disturbed by bursts. Not part of `calibrated`: a recorded session may be both.
[[nodiscard]] std::vector<Finding> findings_on_course(const ChannelReading& reading);

}  // namespace earbudget
