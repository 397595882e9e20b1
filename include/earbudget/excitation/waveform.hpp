#pragma once

#include <array>
#include <optional>

#include "earbudget/acoustics/units.hpp"

namespace earbudget {

/// Gradient axes: x, y, z.
inline constexpr std::size_t gradient_axes = 3;

/// The gradients of the three axes at one time, in T/m, or what is stated of each of them.
using AxisVector = std::array<double, gradient_axes>;

/// A stretch of time in which the gradients of all axes run straight from one value to another.
struct GradientPiece {
    Seconds start{0.0};  ///< since the beginning of the waveform
    Seconds lasts{0.0};  ///< above 0
    AxisVector from{};   ///< T/m at its start
    AxisVector to{};     ///< T/m at its end
    /// False where the file asks that the orientation chosen at the scanner leave this stretch as
    /// it is (label NOROT).
    bool may_turn = true;
};

/// Gradient waveforms, piece by piece in the order of time, so that a waveform of any length takes
/// no memory. Pieces follow each other without gaps: a pause is a piece of zeros. A piece may begin
/// at another value than the one before it ended at (a jump, which no scanner can follow).
class WaveformSource {
  public:
    WaveformSource() = default;
    WaveformSource(const WaveformSource&) = delete;
    WaveformSource& operator=(const WaveformSource&) = delete;
    virtual ~WaveformSource() = default;

    /// The next piece; none at the end. Throws InputError where what the waveform is read from
    /// cannot be read on. No value is NaN or infinite.
    [[nodiscard]] virtual std::optional<GradientPiece> next() = 0;

    /// Begins again: the same pieces follow.
    virtual void rewind() = 0;

    /// Whether it may really last longer, since it waits for something from outside (a trigger).
    [[nodiscard]] virtual bool duration_is_lower_bound() const { return false; }
};

}  // namespace earbudget
