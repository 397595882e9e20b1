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

}  // namespace earbudget
