#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "earbudget/acoustics/frequency.hpp"
#include "earbudget/measurement/source_state.hpp"

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

}  // namespace earbudget
