#pragma once

#include <vector>

#include "excitation/pair_reading.hpp"

namespace earbudget {

/// Where in a recording its waveform may begin, in samples, the likeliest first; to a few
/// milliseconds. By the correlation of the course of the sound's energy with that of the drive's,
/// of all axes and of each.
[[nodiscard]] std::vector<double> likely_starts(const CalibrationPair& pair);

/// Σ conj(A(f))·B(f) as a function of time: `lines` by frequency to the correlation at each sample,
/// negative times in the second half.
[[nodiscard]] std::vector<float> to_time(const std::vector<std::complex<float>>& lines);

}  // namespace earbudget
