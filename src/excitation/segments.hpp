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

/// Where a signal is; null where all of it is zero.
[[nodiscard]] const float* null_if_silent(const std::vector<float>& signal);

/// Fourier transforms of eight windows, each half overlapping the next, of four signals at once:
/// two real ones make one complex one. The windows are power-complementary.
class SegmentTransform {
  public:
    /// `length` is a power of two, eight at least.
    explicit SegmentTransform(std::size_t length);

    /// Pa for each T/m of a drive: two signals in one transform are to be of one size, since the
    /// larger one's rounding errors reach the other.
    static constexpr float pressure_scale = 1e3F;

    [[nodiscard]] std::size_t length() const { return length_; }
    [[nodiscard]] std::size_t hop() const { return length_ / 2; }
    [[nodiscard]] std::size_t span() const { return (segment_lanes + 1) * hop(); }

    /// Of span() samples each, null for silence; the pressure divided by pressure_scale. Only the
    /// first `windows` windows count, the others are zero.
    void transform(const SegmentSignals& signals, std::size_t windows = segment_lanes);

    /// At frequency `k`, 0 < k < length() / 2, with the pressure or without.
    template <bool with_pressure>
    [[nodiscard]] SegmentLine line(std::size_t k) const {
        const std::size_t at = place_[k] * segment_lanes;
        const std::size_t opposite = place_[length_ - k] * segment_lanes;
        SegmentLine line;
        if (has_x_or_y_) {
            real(first_, at, opposite, gains_[0], line.drive[0]);
            imaginary(first_, at, opposite, gains_[1], line.drive[1]);
        } else {
            line.drive[0] = line.drive[1] = {Lanes::Zero(), Lanes::Zero()};
        }
        real(second_, at, opposite, gains_[2], line.drive[2]);
        if (with_pressure) imaginary(second_, at, opposite, gains_[3], line.pressure);
        return line;
    }

  private:
    struct Points {
        std::vector<float> re, im;
    };

    void window(const float* signal, std::vector<float>& into);
    static void real(const Points& points, std::size_t at, std::size_t opposite, const Lanes& gain,
                     ComplexLanes& line);
    static void imaginary(const Points& points, std::size_t at, std::size_t opposite,
                          const Lanes& gain, ComplexLanes& line);

    std::size_t length_;
    SharedTables::Table window_, twiddles_;
    std::vector<std::size_t> place_;
    Points first_, second_;
    std::array<Lanes, gradient_axes + 1> gains_;  // 0 for what is silent, in whose place another
                                                  // signal's rounding errors stand
    bool has_x_or_y_ = true;
};

inline void SegmentTransform::real(const Points& points, std::size_t at, std::size_t opposite,
                                   const Lanes& gain, ComplexLanes& line) {
    using Values = Eigen::Map<const Lanes>;
    line.re = gain * (Values(points.re.data() + at) + Values(points.re.data() + opposite));
    line.im = gain * (Values(points.im.data() + at) - Values(points.im.data() + opposite));
}

inline void SegmentTransform::imaginary(const Points& points, std::size_t at, std::size_t opposite,
                                        const Lanes& gain, ComplexLanes& line) {
    using Values = Eigen::Map<const Lanes>;
    line.re = gain * (Values(points.im.data() + at) + Values(points.im.data() + opposite));
    line.im = gain * (Values(points.re.data() + opposite) - Values(points.re.data() + at));
}

}  // namespace earbudget
