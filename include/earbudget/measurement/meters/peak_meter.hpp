#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"

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

/// A few peaks far above all the rest: clicks, a knock on the microphone, crackle of radio
/// frequency.
struct RarePeaks {
    std::size_t count = 0;           ///< stretches that hold one
    Seconds first{0.0};              ///< where the first of these begins
    LevelDifference above_the_rest;  ///< of the highest, above the highest of all others
};

/// Looks at the highest absolute value in each of many short, equal stretches. The rule, ours: a
/// peak stands out when it is 6 dB above what nine stretches in ten stay below; rare are one in a
/// hundred or fewer. None in less than a hundred stretches: a pulse of the sound may then occur
/// once.
[[nodiscard]] std::optional<RarePeaks> find_rare_peaks(std::span<const float> peaks,
                                                       Seconds stretch);

}  // namespace earbudget
