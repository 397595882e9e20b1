#pragma once

#include <array>

#include "earbudget/acoustics/frequency.hpp"
#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/acoustics/octave_band.hpp"

namespace earbudget {

/// Corner frequencies of the A and C weightings (IEC 61672-1, annex E; four decimals and more
/// follow from its equations and were recomputed).
struct WeightingPoles {
    static constexpr Frequency f1{20.598997};
    static constexpr Frequency f2{107.65265};
    static constexpr Frequency f3{737.86223};
    static constexpr Frequency f4{12194.217};
};

/// Design-goal A weighting at a frequency above zero, 0 dB at 1 kHz (IEC 61672-1, annex E).
[[nodiscard]] LevelDifference a_weighting(Frequency f);

/// Design-goal C weighting at a frequency above zero, 0 dB at 1 kHz (IEC 61672-1, annex E).
[[nodiscard]] LevelDifference c_weighting(Frequency f);

/// A weighting of an octave band, at its exact mid-band frequency, as tabled to one decimal in
/// IEC 61672-1, table 3 and used by ISO 4869-2 for its A_f.
[[nodiscard]] LevelDifference a_weighting(OctaveBand band);

/// C weighting of an octave band, as tabled to one decimal in IEC 61672-1, table 3.
[[nodiscard]] LevelDifference c_weighting(OctaveBand band);

}  // namespace earbudget
