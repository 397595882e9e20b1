#pragma once

#include "excitation/pair_reading.hpp"

namespace earbudget {

/// How a recording lies to its waveform, and how much of its sound follows the drive.
struct Aligned {
    TimeMap map;
    double explained = 0.0;    ///< by all axes together: multiple coherence
    double by_one_axis = 0.0;  ///< by the axis that does best at each frequency
};

/// Finds the beginning of the waveform by the courses of energy, the clock by how the phases of the
/// answer move on, then the beginning once more, so that the strongest part of the answer comes at
/// once. `start`: where the beginning is known, in samples, it stays. Throws UnusableRecording.
[[nodiscard]] Aligned align(const CalibrationPair& pair, std::optional<double> start);

/// Samples by which the second answer lies behind the first where they agree best, and how well
/// they do, 0 to 1. Both are lines by frequency, 0 where unknown; up to half a window either way.
struct Shift {
    double samples = 0.0;
    double agreement = 0.0;
};
[[nodiscard]] Shift shift_between(const std::vector<std::complex<double>>& first,
                                  const std::vector<std::complex<double>>& second);

}  // namespace earbudget
