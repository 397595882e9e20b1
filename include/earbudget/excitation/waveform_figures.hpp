#pragma once

#include "earbudget/excitation/waveform.hpp"

namespace earbudget {

/// What is known of a waveform without any response.
struct WaveformFigures {
    Seconds duration{0.0};
    AxisVector largest_gradient{};  ///< T/m, the largest magnitude by axis
    AxisVector largest_slew{};      ///< T/m/s, the largest magnitude by axis, jumps not counted
    AxisVector rms_slew{};          ///< T/m/s, root mean square over the whole duration, likewise
    AxisVector largest_jump{};      ///< T/m, between pieces, and from zero and to it
    Seconds jump_at{0.0};           ///< when the largest jump of all axes is; 0 without one
    /// Since the sequence waits for a trigger: it may really last longer.
    bool duration_is_lower_bound = false;
};

/// Works figures out as pieces come: √(∫(dG/dt)² dt / T), exact for what is piecewise linear.
class WaveformMeter {
  public:
    /// Pieces in the order of time.
    void add(const GradientPiece& piece);

    /// Of all pieces so far; zeros without any.
    [[nodiscard]] WaveformFigures figures() const;

  private:
    WaveformFigures figures_;
    AxisVector slew_squared_{};  ///< ∫(dG/dt)² dt
    AxisVector end_{};           ///< of the piece before
};

/// The figures of a whole waveform from its beginning; it is at its end then.
[[nodiscard]] WaveformFigures figures_of(WaveformSource& source);

}  // namespace earbudget
