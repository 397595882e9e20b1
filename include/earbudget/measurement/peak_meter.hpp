#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace earbudget {

/// Highest and lowest value of the signal that the samples stand for.
///
/// The crest of a wave falls between samples: at 48 kHz an 8 kHz tone can hide 1.2 dB. Around
/// every sample that could lead to a new extreme the signal is therefore interpolated (windowed
/// sinc, flat up to 0.45 of the sampling rate). Nothing is interpolated within 20 samples of
/// either end, where the signal would have to be invented.
class PeakMeter {
  public:
    void add(std::span<const float> block);

    /// Both 0 when nothing was added.
    [[nodiscard]] double highest() const { return highest_; }
    [[nodiscard]] double lowest() const { return lowest_; }

    /// Highest absolute sample, not interpolated, of the block added last.
    [[nodiscard]] float highest_of_last_block() const { return last_; }

  private:
    void take_extremes(std::span<const float> block);
    void examine(std::size_t begin, std::size_t end);
    void examine(std::size_t centre);
    [[nodiscard]] double crest_near(std::size_t centre, double sign) const;

    std::vector<float> recent_;  // what interpolation still needs, then the block
    double highest_ = 0.0;
    double lowest_ = 0.0;
    bool empty_ = true;
    float last_ = 0.0F;
};

}  // namespace earbudget
