#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"

namespace earbudget {

/// How A-weighted sound went on: its mean square in each of many short, equal steps, re full scale
/// as in ChannelReading (a full-scale sine has 0.5).
///
/// Steps last about 50 ms, a tenth of a pump's stroke, and follow one another from the start of the
/// recording without gaps; what remains at the end and fills no step is left out. Single precision
/// keeps three hours in under a megabyte.
struct LevelHistory {
    Seconds step{0.05};
    std::vector<float> mean_square;
};

/// How many steps last that long, to the nearest.
[[nodiscard]] inline std::size_t steps_in(Seconds time, Seconds step) {
    return static_cast<std::size_t>(std::lround(time / step));
}

/// Time constants of the exponential averages F and S (IEC 61672-1:2013, 5.8; clause from memory).
inline constexpr Seconds time_constant_F{0.125};
inline constexpr Seconds time_constant_S{1.0};

/// Exponential average of mean squares that each cover a short time.
class ExponentialAverage {
  public:
    explicit ExponentialAverage(Seconds time_constant) : time_constant_(time_constant) {}

    /// The average after `time` more at this mean square.
    double add(double mean_square, Seconds time);

    [[nodiscard]] double value() const { return value_; }

  private:
    Seconds time_constant_;
    double value_ = 0.0;
    Seconds last_time_{0.0};
    double gain_ = 0.0;  // for last_time_
};

/// The percentages for which levels exceeded are given: LAF10, LAF50, LAF90, LAF95.
inline constexpr std::array<int, 4> exceeded_percent = {10, 50, 90, 95};

/// How an A-weighted signal went on in time, re a full-scale sine. An extreme or a percentile is
/// absent where the recording is too short for it or holds nothing.
struct TimeWeightedLevels {
    std::optional<LevelFS> F_max, F_min;
    std::optional<LevelFS> S_max, S_min;
    /// Exceeded by the F level during each of `exceeded_percent` of the time.
    std::array<std::optional<LevelFS>, exceeded_percent.size()> F_exceeded;

    /// Mean square of each whole second, and of what remains in the end.
    std::vector<float> seconds;
    Seconds last_second{0.0};  ///< how long the last of them is
    LevelHistory history;
};

/// Follows an A-weighted signal through time.
///
/// The signal is summed up in blocks of half a millisecond to one, which the averages take as
/// one value each: for F that moves a maximum by less than 0.04 dB. Averages begin at nothing, so
/// that minima and percentiles are taken only once what came before would count for less than 0.03
/// dB: after 1 s for F and 5 s for S.
class TimeWeightedMeter {
  public:
    explicit TimeWeightedMeter(Frequency sample_rate);

    void add(std::span<const float> block);

    /// What was added; call once, at the end.
    [[nodiscard]] TimeWeightedLevels finish();

    /// Mean square of all samples, each counted once; 0 without any.
    [[nodiscard]] double mean_square() const;

  private:
    void take(double sum, std::size_t samples);
    void take_average(double mean_square, Seconds time);
    void take_second();
    [[nodiscard]] std::uint64_t blocks_until(double seconds) const;
    [[nodiscard]] std::optional<LevelFS> exceeded_for(double percent) const;

    Frequency sample_rate_;
    std::size_t block_length_;  // samples
    std::size_t blocks_in_step_;
    std::vector<float> open_block_;
    std::vector<float> sums_;

    double energy_ = 0.0;  // sum of squares
    std::uint64_t samples_ = 0;

    ExponentialAverage f_{time_constant_F};
    ExponentialAverage s_{time_constant_S};
    double f_max_ = 0.0, f_min_ = -1.0;  // below 0: none yet
    double s_max_ = 0.0, s_min_ = -1.0;
    std::vector<std::uint32_t> f_levels_;  // how often F stood in each class of levels
    std::uint64_t f_counted_ = 0;
    std::uint64_t next_second_;  // blocks

    std::uint64_t blocks_ = 0;
    double second_energy_ = 0.0, step_energy_ = 0.0;
    std::uint64_t second_samples_ = 0, step_samples_ = 0;
    TimeWeightedLevels result_;
};

}  // namespace earbudget
