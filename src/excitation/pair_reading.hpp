#pragma once

#include <functional>
#include <vector>

#include "earbudget/excitation/cross_spectra.hpp"
#include "earbudget/excitation/drive.hpp"
#include "earbudget/excitation/estimate.hpp"
#include "excitation/segments.hpp"

namespace earbudget {

/// One channel of a recording, in pascals.
class PressureReader {
  public:
    explicit PressureReader(const CalibrationPair& pair);

    [[nodiscard]] double rate() const { return source_->sample_rate().Hz(); }
    /// Fills what there is; returns how much.
    [[nodiscard]] std::size_t read(std::span<float> into);
    void skip(std::size_t samples);

  private:
    std::unique_ptr<SampleSource> source_;
    std::size_t channel_;
    double scale_;
    std::vector<double> interleaved_;
};

/// Where the waveform's time 0 lies in a recording, in its samples, and how many of its samples a
/// second of the waveform has for each that it should have.
struct TimeMap {
    double start = 0.0;
    double clock = 1.0;
};

/// The longest part of a recording that is used, seconds.
inline constexpr double longest_part = 1200.0;

/// Called for each eight windows, the first of them with its number from the first that is used and
/// how many of them count.
using OnWindows =
    std::function<void(const SegmentTransform&, std::size_t first, std::size_t count)>;

/// Goes through the windows that lie in the recording and touch the waveform, and tells how much
/// of the waveform they cover, in samples of the recording.
double for_each_window(const CalibrationPair& pair, const TimeMap& map, SegmentTransform& transform,
                       const OnWindows& on_windows);

/// A power of two of samples: about a third of a second, within a factor of √2 (own choice, lines
/// 3 Hz apart).
[[nodiscard]] std::size_t window_for(double rate);

}  // namespace earbudget
