#pragma once

#include <cmath>
#include <complex>
#include <cstddef>
#include <memory>
#include <span>
#include <vector>

namespace earbudget {

/// Discrete Fourier transform of a real signal of fixed, even length, in single precision.
class RealFft {
  public:
    /// Throws std::invalid_argument unless `length` is even and above zero.
    explicit RealFft(std::size_t length);

    [[nodiscard]] std::size_t length() const { return length_; }

    /// The length / 2 + 1 values from frequency 0 to half the sampling rate, valid until the next
    /// call. `signal` holds `length` samples.
    [[nodiscard]] std::span<const std::complex<float>> operator()(std::span<const float> signal);

  private:
    struct Release {
        void operator()(void* configuration) const;
    };

    std::size_t length_;
    std::unique_ptr<void, Release> configuration_;
    std::vector<std::complex<float>> spectrum_;
};

/// |Σ x[n] · e^(i·turn·n)|² at any frequency, `turn` in radians from one value to the next.
template <class Value>
[[nodiscard]] double squared_fourier_value(std::span<const Value> x, double turn) {
    const double turn_re = std::cos(turn);
    const double turn_im = std::sin(turn);
    double re = 1.0;
    double im = 0.0;
    double sum_re = 0.0;
    double sum_im = 0.0;
    for (const Value value : x) {
        sum_re += static_cast<double>(value) * re;
        sum_im += static_cast<double>(value) * im;
        const double next = re * turn_re - im * turn_im;
        im = re * turn_im + im * turn_re;
        re = next;
    }
    return sum_re * sum_re + sum_im * sum_im;
}

/// Adds up the power spectra of many windows of a signal, sixteen windows at a time.
///
/// Two real windows make one complex one, whose transform holds the sum of their powers at k and
/// −k; eight of these go side by side through the processor's vector unit. Single precision: an
/// error of about 1e-7 of the strongest line. Where the transforms stand, a memory of 64 bytes a
/// value of the window, is shared by all that transform one after the other.
class PowerTransform {
  public:
    /// `window` has a power of two of values, eight at least; a window starts every half of it.
    explicit PowerTransform(std::shared_ptr<const std::vector<float>> window);

    [[nodiscard]] std::size_t length() const { return window_->size(); }
    [[nodiscard]] std::size_t hop() const { return window_->size() / 2; }

    [[nodiscard]] std::span<const float> window() const { return *window_; }

    static constexpr std::size_t at_once = 16;
    /// Samples that `at_once` windows cover.
    [[nodiscard]] std::size_t span_of_all() const { return (at_once + 1) * hop(); }

    /// Windows from the first sample on; `samples` has span_of_all() of them.
    void add_all(std::span<const float> samples);

    /// One window over `length()` samples, its power times `scale`.
    void add_one(std::span<const float> samples, double scale);

    /// Sum of |X|² of all windows for each k from 0 to length / 2; call once, at the end.
    [[nodiscard]] std::vector<double> finish();

  private:
    /// Eight values for each point.
    struct Points {
        std::vector<float> re, im;
    };
    void transform(Points& points);
    void transform_waiting();

    std::shared_ptr<const std::vector<float>> window_, twiddles_;
    std::vector<double> power_;  // in the order of the transform
    Points points_;              // what add_one has put there, none until it is called
    std::size_t waiting_ = 0;    // windows of it
};

}  // namespace earbudget
