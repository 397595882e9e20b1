#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "earbudget/excitation/waveform.hpp"

namespace earbudget {

/// A waveform at even steps of time, as what drives the sound: the mean of the gradients over the
/// step that begins at a moment less that over the step before it.
///
/// Both means are exact, so that neither splitting pieces nor the raster of the file changes them.
/// Sample n belongs to `start` + n · `step`; it is the slew seen through a hat two steps wide, so
/// that its transform is that of the gradients times `drive_of_gradient`. Before the waveform and
/// after it the gradients are zero.
class DriveSampler {
  public:
    /// Begins at the source's beginning; the source must outlive this. `step` is above zero.
    DriveSampler(WaveformSource& source, Seconds start, Seconds step);

    /// The next samples of each axis, as many of each, in T/m.
    void read(const std::array<std::span<float>, gradient_axes>& axes);

    /// Whether all that is still to come is zero.
    [[nodiscard]] bool has_ended() const { return !piece_ && after_end_ >= 2; }

    /// Where the waveform ends; known from then on.
    [[nodiscard]] Seconds end() const { return Seconds(end_); }

  private:
    [[nodiscard]] AxisVector mean_of_next();
    void advance();

    WaveformSource& source_;
    double start_, step_;
    std::int64_t count_ = -1;
    std::optional<GradientPiece> piece_;
    AxisVector slope_{};
    double begin_ = 0.0;  // of the piece
    double end_ = 0.0;
    AxisVector before_{};  // the mean over the step before
    int after_end_ = 0;    // steps since
};

/// By what the transform of the gradients is multiplied in the drive: 2πi·f·Δ · sinc²(f·Δ), which
/// has no phase of its own but the derivative's. Given is its magnitude for a frequency times the
/// step, below one half.
[[nodiscard]] double drive_of_gradient(double frequency_times_step);

}  // namespace earbudget
