#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/meters/channel_reading.hpp"
#include "earbudget/measurement/meters/clipping_meter.hpp"
#include "earbudget/measurement/meters/dropout_meter.hpp"
#include "earbudget/measurement/meters/mean_square_meter.hpp"
#include "earbudget/measurement/meters/peak_meter.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "earbudget/measurement/meters/time_weighted_meter.hpp"
#include "earbudget/measurement/meters/weighting_filter.hpp"
#include "earbudget/measurement/spectrum/spectrum_meter.hpp"

namespace earbudget {

/// One channel's samples in, in blocks of any size; its reading out. Memory grows
/// by some hundred bytes a second: a course of levels and peaks.
///
/// The first second or so is kept back: its mean is taken off every sample, so that a constant
/// offset is no step, and the filters are given a likely past from it.
class ChannelAnalyser {
  public:
    /// Throws std::invalid_argument for a sampling rate that WeightingFilter refuses.
    /// `apart` as of SpectrumMeter.
    ChannelAnalyser(Frequency sample_rate, std::optional<Quantization> quantization,
                    bool apart = false);

    void add(std::span<const double> block);

    /// The reading of all that was added; call once, at the end.
    [[nodiscard]] ChannelReading finish();

  private:
    void begin();
    void append(std::span<const double> block);
    void measure(std::span<const double> raw);

    Frequency sample_rate_;
    std::optional<Quantization> quantization_;
    std::size_t start_length_;
    std::vector<double> start_;  // the first second and a little more, until it is complete
    // Always filled to the same size, so that block sizes make no difference.
    std::vector<double> raw_;
    std::vector<float>
        chunk_;  // as recorded, then without the offset, then C-weighted, then A-weighted
    bool begun_ = false;
    double offset_ = 0.0;
    std::uint64_t count_ = 0;

    ClippingMeter clipping_;
    DropoutMeter dropouts_;
    VarianceMeter z_;
    PeakMeter z_peak_;
    SpectrumMeter spectrum_;
    WeightingFilter c_filter_;
    MeanSquareMeter c_;
    PeakMeter c_peak_;
    std::vector<float> peaks_;  // the highest C-weighted absolute value of each chunk
    WeightingFilter a_filter_;
    TimeWeightedMeter a_;
};

}  // namespace earbudget
