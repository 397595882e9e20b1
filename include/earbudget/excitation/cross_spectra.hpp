#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include <Eigen/Core>

#include "earbudget/excitation/waveform.hpp"

namespace earbudget {

class SegmentTransform;

/// Products of the transforms of the axes' drives, and of a recorded pressure, with one another,
/// added up over windows: all that a response is estimated from.
class CrossSpectra {
  public:
    /// Of windows of `length` samples; frequency k is k / `length` of the sampling rate.
    explicit CrossSpectra(std::size_t length) : lines_(length / 2), length_(length) {}

    [[nodiscard]] std::size_t length() const { return length_; }
    /// Frequencies 0 to bins() − 1; nothing is kept of 0.
    [[nodiscard]] std::size_t bins() const { return lines_.size(); }
    [[nodiscard]] double windows() const { return windows_; }

    /// Windows as they were last transformed.
    void add(const SegmentTransform& transform, std::size_t windows);

    CrossSpectra& operator+=(const CrossSpectra& other);
    CrossSpectra& operator-=(const CrossSpectra& other);

    /// Σ |D|² of one axis.
    [[nodiscard]] double drive(std::size_t axis, std::size_t k) const { return lines_[k][axis]; }
    /// Σ conj(Da)·Db.
    [[nodiscard]] Eigen::Matrix3cd drives(std::size_t k) const;
    /// Σ conj(Da)·P.
    [[nodiscard]] Eigen::Vector3cd with_pressure(std::size_t k) const;
    /// Σ |P|².
    [[nodiscard]] double pressure(std::size_t k) const { return lines_[k][3]; }

    /// The recording's pressure as if it had begun later by so many samples.
    void delay_pressure(double samples);

    /// One more window's values at one frequency.
    using Line = std::array<double, 16>;
    void add_line(std::size_t k, const Line& line);
    void count_windows(std::size_t windows) { windows_ += static_cast<double>(windows); }

  private:
    std::vector<Line> lines_;  // xx yy zz pp, then xy xz yz xp yp zp, real and imaginary
    std::size_t length_;
    double windows_ = 0.0;
};

}  // namespace earbudget
