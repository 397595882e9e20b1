#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/findings/steadiness.hpp"

namespace earbudget {

/// How an integer format represents samples; full scale is 1.
struct Quantization {
    double largest_code;  ///< value of the largest positive code, a little below 1
    double step;          ///< from there to the next code
};

/// A recording as a stream of frames; a frame is one sample of every channel.
///
/// Samples are numbers with full scale at ±1, finite, and read once from first to last.
class SampleSource {
  public:
    SampleSource() = default;
    SampleSource(const SampleSource&) = delete;
    SampleSource& operator=(const SampleSource&) = delete;
    virtual ~SampleSource() = default;

    [[nodiscard]] virtual Frequency sample_rate() const = 0;

    /// Number of channels, at least one.
    [[nodiscard]] virtual std::size_t channels() const = 0;

    /// None where samples are floating-point or were compressed with loss.
    [[nodiscard]] virtual std::optional<Quantization> quantization() const = 0;

    /// What else is known of the recording: of one from memory, nothing.
    [[nodiscard]] virtual SourceState state() const { return {}; }

    /// Reads whole frames, channel by channel, into as much of `interleaved` as they fill.
    /// Returns their number; 0 means the end. May throw what the origin of the samples throws.
    [[nodiscard]] virtual std::size_t read(std::span<double> interleaved) = 0;
};

/// Mean square of a sine whose crests just reach full scale, ±1: the reference of LevelFS.
inline constexpr double full_scale_mean_square = 0.5;

/// Level of a mean square, or of the square of a peak, re a full-scale sine; none for silence.
[[nodiscard]] inline std::optional<LevelFS> level_of_mean_square(double mean_square) {
    const double ratio = mean_square / full_scale_mean_square;
    if (!std::isnormal(ratio) || ratio < 0.0) return std::nullopt;
    return LevelFS(10.0 * std::log10(ratio));
}

/// Part of a recording, as a recording of its own.
///
/// What comes before is read and passed over; nothing is read of what comes after. Ends early where
/// the recording does. Does not own the recording.
class Excerpt final : public SampleSource {
  public:
    /// From `from` up to `to`, to the nearest frame. Throws std::invalid_argument unless
    /// 0 ≤ from < to.
    Excerpt(SampleSource& recording, Seconds from, Seconds to);

    [[nodiscard]] Frequency sample_rate() const override { return recording_.sample_rate(); }
    [[nodiscard]] std::size_t channels() const override { return recording_.channels(); }
    [[nodiscard]] std::optional<Quantization> quantization() const override {
        return recording_.quantization();
    }
    [[nodiscard]] SourceState state() const override { return recording_.state(); }
    [[nodiscard]] std::size_t read(std::span<double> interleaved) override;

    /// Where in the recording it begins.
    [[nodiscard]] Seconds from() const { return from_; }

  private:
    SampleSource& recording_;
    Seconds from_;
    std::uint64_t to_skip_;  // frames
    std::uint64_t to_read_;
};

}  // namespace earbudget
