#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <variant>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/findings/finding.hpp"
#include "earbudget/measurement/meters/clipping_meter.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "earbudget/measurement/spectrum/power_transform.hpp"

namespace earbudget {

/// What one fifth of a second of a calibration recording holds, as mean squares.
struct CalibratorFrame {
    double tone = 0.0;       ///< of the strongest line above 200 Hz
    double other = 0.0;      ///< of everything else above half the line's frequency
    double total = 0.0;      ///< of everything above 10 Hz
    double frequency = 0.0;  ///< of the line, Hz
    bool clipped = false;
};

/// One channel's samples in, its frames out; frames are 0.2 s long and begin every 0.1 s.
class CalibratorFrames {
  public:
    CalibratorFrames(Frequency sample_rate, std::optional<Quantization> quantization);

    void add(std::span<const double> block);

    [[nodiscard]] const std::vector<CalibratorFrame>& frames() const { return frames_; }

    /// Time from one frame's start to the next one's, and the length of a frame, in samples.
    [[nodiscard]] std::size_t hop() const { return hop_; }
    [[nodiscard]] std::size_t length() const { return 2 * hop_; }

  private:
    void take_frame();
    [[nodiscard]] CalibratorFrame analyse();

    Frequency sample_rate_;
    std::size_t hop_;
    RealFft fft_;
    std::vector<double> recent_;  // up to one frame
    std::vector<float> windowed_;
    std::vector<float> narrowed_;
    ClippingMeter clipping_;
    std::uint64_t stretches_before_ = 0;  // counted up to the middle of the current frame
    std::uint64_t stretches_earlier_ = 0;
    std::vector<CalibratorFrame> frames_;
};

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
