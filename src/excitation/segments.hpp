#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include <Eigen/Core>

#include "earbudget/excitation/waveform.hpp"
#include "measurement/spectrum/shared_tables.hpp"

namespace earbudget {

/// Overlapping windows that go through the transform side by side.
inline constexpr std::size_t segment_lanes = 8;

/// One value of each of the windows that are transformed together.
using Lanes = Eigen::Array<float, static_cast<int>(segment_lanes), 1>;

struct ComplexLanes {
    Lanes re, im;
};

/// Σ conj(a) · b over the windows.
[[nodiscard]] inline std::array<double, 2> conjugate_product(const ComplexLanes& a,
                                                             const ComplexLanes& b) {
    return {static_cast<double>((a.re * b.re + a.im * b.im).sum()),
            static_cast<double>((a.re * b.im - a.im * b.re).sum())};
}

[[nodiscard]] inline double power(const ComplexLanes& a) {
    return static_cast<double>((a.re * a.re + a.im * a.im).sum());
}

/// Values of the drives of all axes and of the pressure at one frequency, in each window.
struct SegmentLine {
    std::array<ComplexLanes, gradient_axes> drive;
    ComplexLanes pressure;
};

/// The same times of all signals: the axes' drives, then the pressure.
using SegmentSignals = std::array<const float*, gradient_axes + 1>;

/// Fourier transforms of eight windows, each half overlapping the next, of four signals at once:
/// two real ones make one complex one. The windows are power-complementary.
class SegmentTransform {
  public:
    /// `length` is a power of two, eight at least.
    explicit SegmentTransform(std::size_t length);

    [[nodiscard]] std::size_t length() const { return length_; }
    [[nodiscard]] std::size_t hop() const { return length_ / 2; }
    [[nodiscard]] std::size_t span() const { return (segment_lanes + 1) * hop(); }

    /// Of span() samples each; of null nothing is transformed. Only the first `windows` windows
    /// count, the others are zero.
    void transform(const SegmentSignals& signals, std::size_t windows = segment_lanes);

    /// At frequency `k`, 0 < k < length() / 2, with the pressure or without.
    template <bool with_pressure>
    [[nodiscard]] SegmentLine line(std::size_t k) const {
        const std::size_t at = place_[k] * segment_lanes;
        const std::size_t opposite = place_[length_ - k] * segment_lanes;
        SegmentLine line;
        if (has_x_or_y_) {
            split(first_, at, opposite, line.drive[0], &line.drive[1]);
        } else {
            line.drive[0] = line.drive[1] = {Lanes::Zero(), Lanes::Zero()};
        }
        split(second_, at, opposite, line.drive[2], with_pressure ? &line.pressure : nullptr);
        return line;
    }

  private:
    struct Points {
        std::vector<float> re, im;
    };

    void window(const float* signal, std::vector<float>& into);
    void split(const Points& points, std::size_t at, std::size_t opposite, ComplexLanes& real,
               ComplexLanes* imaginary) const;

    std::size_t length_;
    SharedTables::Table window_, twiddles_;
    std::vector<std::size_t> place_;
    Points first_, second_;
    Lanes half_ = Lanes::Constant(0.5F);
    bool has_x_or_y_ = true;
};

inline void SegmentTransform::split(const Points& points, std::size_t at, std::size_t opposite,
                                    ComplexLanes& real, ComplexLanes* imaginary) const {
    const Eigen::Map<const Lanes> re(points.re.data() + at);
    const Eigen::Map<const Lanes> im(points.im.data() + at);
    const Eigen::Map<const Lanes> mirrored_re(points.re.data() + opposite);
    const Eigen::Map<const Lanes> mirrored_im(points.im.data() + opposite);
    real.re = half_ * (re + mirrored_re);
    real.im = half_ * (im - mirrored_im);
    if (!imaginary) return;
    imaginary->re = half_ * (im + mirrored_im);
    imaginary->im = half_ * (mirrored_re - re);
}

}  // namespace earbudget
