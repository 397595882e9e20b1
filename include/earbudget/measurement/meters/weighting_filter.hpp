#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "earbudget/acoustics/units.hpp"

namespace earbudget {

/// Lowest and highest sampling rate for which weightings are designed.
inline constexpr Frequency lowest_sample_rate{8000.0};
inline constexpr Frequency highest_sample_rate{192000.0};

/// Frequency weighting of a signal in the time domain (IEC 61672-1, annex E).
///
/// The high-pass poles of the analogue filter are matched in the sampled plane; a short
/// minimum-phase filter does the rest. From 10 Hz to 0.45 of the sampling rate the
/// magnitude stays within 0.01 dB of the design curve, and the phase is the analogue filter's.
class WeightingFilter {
  public:
    /// C weighting. Throws std::invalid_argument for a sampling rate out of range.
    [[nodiscard]] static WeightingFilter c_weighting(Frequency sample_rate);

    /// What turns a C-weighted signal into an A-weighted one. Throws like c_weighting.
    [[nodiscard]] static WeightingFilter a_weighting_after_c(Frequency sample_rate);

    WeightingFilter(WeightingFilter&&) noexcept;
    WeightingFilter& operator=(WeightingFilter&&) noexcept;
    ~WeightingFilter();

    /// Filters a block in place; the state carries over to the next block.
    void process(std::span<float> block);

  private:
    struct Stages;
    WeightingFilter(double pole_1, double pole_2, std::span<const double> response);

    std::unique_ptr<Stages> stages_;
};

/// The first `taps` samples of the impulse response of the minimum-phase filter with a given
/// magnitude, through its real cepstrum (Oppenheim and Schafer, Discrete-Time Signal Processing,
/// chapter on cepstrum analysis; memory).
///
/// `log_magnitude` holds natural logarithms at equal steps from 0 to half the sampling rate, a
/// power of two of them plus one, and must be smooth for the response to be short.
[[nodiscard]] std::vector<double> minimum_phase_response(std::span<const double> log_magnitude,
                                                         std::size_t taps);

}  // namespace earbudget
