#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace earbudget {

/// The first `taps` samples of the impulse response of the minimum-phase filter with a given
/// magnitude, through its real cepstrum (Oppenheim and Schafer, Discrete-Time Signal Processing,
/// chapter on cepstrum analysis; memory).
///
/// `log_magnitude` holds natural logarithms at equal steps from 0 to half the sampling rate, a
/// power of two of them plus one, and must be smooth for the response to be short.
[[nodiscard]] std::vector<double> minimum_phase_response(std::span<const double> log_magnitude,
                                                         std::size_t taps);

}  // namespace earbudget
