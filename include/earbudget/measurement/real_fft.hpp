#pragma once

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

}  // namespace earbudget
