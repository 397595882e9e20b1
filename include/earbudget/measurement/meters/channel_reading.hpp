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
#include "earbudget/measurement/findings/steadiness.hpp"
#include "earbudget/measurement/meters/clipping_meter.hpp"
#include "earbudget/measurement/meters/dropout_meter.hpp"
#include "earbudget/measurement/meters/mean_square_meter.hpp"
#include "earbudget/measurement/meters/peak_meter.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "earbudget/measurement/meters/time_weighted_meter.hpp"
#include "earbudget/measurement/spectrum/tones.hpp"

namespace earbudget {

/// What one channel of a recording holds, re a full-scale sine: no calibration is known yet.
/// A level is absent where there is nothing but digital silence.
struct ChannelReading {
    Frequency sample_rate;
    Seconds duration;
    std::optional<Quantization> quantization;

    std::optional<LevelFS> A;       ///< A-weighted mean square
    std::optional<LevelFS> C;       ///< C-weighted mean square
    std::optional<LevelFS> Z;       ///< unweighted mean square, without the mean
    std::optional<LevelFS> C_peak;  ///< square of the highest C-weighted absolute value
    std::optional<LevelFS> Z_peak;  ///< the same unweighted, without the mean

    OctaveLevels<quantity::FullScale> octave;             ///< unweighted
    OctaveLevels<quantity::FullScale> octave_A;           ///< A-weighted, line by line
    ThirdOctaveLevels<quantity::FullScale> third_octave;  ///< unweighted
    OctaveMask above_nyquist;  ///< bands that the sampling rate cannot carry

    Tones tones;  ///< of the unweighted signal, from 20 Hz to 0.45 of the sampling rate

    TimeWeightedLevels time;               ///< of the A-weighted signal
    std::optional<Steadiness> steadiness;  ///< of the same

    Seconds start{0.0};  ///< where in its recording it begins; times in findings count from there
    std::optional<RarePeaks> rare_peaks;  ///< C-weighted
    double offset = 0.0;                  ///< mean of all samples; full scale is 1
    Clipping clipping;
    Dropouts dropouts;
};

/// Reads a recording to its end, each channel on its own; several channels share the processor's
/// cores. Throws what `source` throws.
[[nodiscard]] std::vector<ChannelReading> read_channels(SampleSource& source);

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
