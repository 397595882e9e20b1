#pragma once

#include "waveforms/seq_parts.hpp"

namespace earbudget::waveforms {

/// Goes through one axis of a block, stretch by stretch of straight lines; outside of the gradient
/// the axis is zero.
class GradientCursor {
  public:
    /// Begins with a block's gradient; null: none.
    void begin(const Gradient* gradient, Picoseconds block);

    /// When the stretch that it is in ends.
    [[nodiscard]] Picoseconds ends() const { return to_.at; }
    /// T/m at a time within that stretch.
    [[nodiscard]] double value_at(Picoseconds time) const;
    /// Goes on to the stretch that a time lies in or begins.
    void go_to(Picoseconds time);

  private:
    [[nodiscard]] std::size_t points() const;
    [[nodiscard]] CoursePoint point(std::size_t index) const;
    [[nodiscard]] CoursePoint point_of_event(std::size_t index) const;

    const Gradient* gradient_ = nullptr;
    Picoseconds block_{0};
    bool has_first_ = false;
    std::size_t in_event_ = 0;  ///< points of the gradient itself
    std::size_t next_ = 0;      ///< the point behind the stretch
    CoursePoint from_{}, to_{};
};

}  // namespace earbudget::waveforms
