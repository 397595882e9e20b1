#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "earbudget/acoustics/frequency.hpp"
#include "earbudget/measurement/clipping_meter.hpp"
#include "earbudget/measurement/real_fft.hpp"

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

}  // namespace earbudget
