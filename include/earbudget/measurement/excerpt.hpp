#pragma once

#include <cstdint>

#include "earbudget/acoustics/duration.hpp"
#include "earbudget/measurement/sample_source.hpp"

namespace earbudget {

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
