#pragma once

#include <cstddef>
#include <memory>
#include <optional>
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

/// What came before a recording, if the recording repeats itself: `length` samples that precede the
/// first 50 ms where these recur in `start`, or the first 5 ms where they recur soon after. None
/// where nothing recurs as closely as `greatest_mismatch`, the squared difference relative to that
/// of unrelated sounds. `start` is up to a second long and has no mean.
[[nodiscard]] std::optional<std::vector<float>> recurring_preroll(std::span<const float> start,
                                                                  Frequency sample_rate,
                                                                  std::size_t length,
                                                                  double greatest_mismatch);

/// What a weighting filter should have heard before a recording began: 0.2 s of samples.
///
/// A recording that starts in the middle of a low tone looks like a step, and a step has a
/// C-weighted peak up to 3 dB above a 31.5 Hz tone's own, and far more below. What came before is
/// unknown; likely is a recurring past, else, where sound goes on, its first value held, else
/// stillness, as before a single burst.
[[nodiscard]] std::vector<float> filter_preroll(std::span<const float> start,
                                                Frequency sample_rate);

}  // namespace earbudget
