#pragma once

#include <memory>

#include "earbudget/excitation/waveform.hpp"

namespace earbudget {

/// A rotation of the gradients' axes: G′ = R·G, rows first.
class Rotation {
  public:
    /// None: everything stays.
    constexpr Rotation() = default;

    /// By a quaternion, cosine of half the angle first; it is made to have unit length.
    /// Precondition: it is finite and not zero.
    [[nodiscard]] static Rotation by_quaternion(const std::array<double, 4>& q);

    /// About an axis by an angle in radians, counter-clockwise seen from the axis' tip.
    /// Precondition: both are finite, the axis is not zero.
    [[nodiscard]] static Rotation about(const AxisVector& axis, double angle);

    /// By nine numbers, rows first. None where they are no rotation: rows of unit length, at right
    /// angles, right-handed, each to 1e-3 (own choice: numbers written with four digits pass).
    [[nodiscard]] static std::optional<Rotation> by_matrix(const std::array<double, 9>& rows);

    [[nodiscard]] AxisVector operator()(const AxisVector& vector) const;

    /// First the other, then this one.
    [[nodiscard]] Rotation after(const Rotation& other) const;

    [[nodiscard]] const std::array<AxisVector, gradient_axes>& rows() const { return rows_; }

    bool operator==(const Rotation&) const = default;

  private:
    std::array<AxisVector, gradient_axes> rows_{
        {{1.0, 0.0, 0.0}, {0.0, 1.0, 0.0}, {0.0, 0.0, 1.0}}};
};

/// A waveform as it is at an orientation: each piece that may turn is turned.
class TurnedWaveform final : public WaveformSource {
  public:
    TurnedWaveform(std::unique_ptr<WaveformSource> source, const Rotation& rotation)
        : source_(std::move(source)), rotation_(rotation) {}

    [[nodiscard]] std::optional<GradientPiece> next() override;
    void rewind() override { source_->rewind(); }
    [[nodiscard]] bool duration_is_lower_bound() const override {
        return source_->duration_is_lower_bound();
    }

  private:
    std::unique_ptr<WaveformSource> source_;
    Rotation rotation_;
};

}  // namespace earbudget
