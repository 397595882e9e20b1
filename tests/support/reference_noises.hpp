#pragma once

#include <array>

#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/protection/method_formulas.hpp"

namespace earbudget::test {

/// A reference noise of ISO 4869-2:2018; 63 Hz is of the edition of 1994.
struct Noise {
    std::array<double, 8> LA;  // 63 Hz to 8 kHz
    double LC_minus_LA;
    double d;
};

// ISO 4869-2:2018, table 2, A-weighted octave levels of noises of 100 dB(A), LC − LA and d
// (memory).
inline constexpr std::array<Noise, 8> table_2 = {{
    {{51.4, 62.6, 70.8, 81.0, 90.4, 96.2, 94.7, 92.3}, -1.2, -1.20},
    {{59.5, 68.9, 78.3, 84.3, 92.8, 96.3, 94.0, 90.0}, -0.5, -0.49},
    {{59.8, 71.1, 80.8, 88.0, 95.0, 94.4, 94.1, 89.0}, 0.1, 0.14},
    {{65.4, 77.2, 84.5, 89.8, 95.5, 94.3, 92.5, 88.8}, 1.6, 1.56},
    {{65.3, 77.4, 86.5, 92.5, 96.4, 93.0, 90.4, 83.7}, 2.3, -2.98},
    {{70.7, 82.0, 89.3, 93.3, 95.6, 93.0, 90.1, 83.0}, 4.3, -1.01},
    {{75.6, 84.2, 90.1, 93.6, 96.2, 91.3, 87.9, 81.9}, 6.1, 0.85},
    {{77.6, 88.0, 93.4, 93.8, 94.2, 91.4, 87.9, 79.9}, 8.4, 3.14},
}};

inline OctaveLevelsA levels_of(const Noise& noise) {
    OctaveLevelsA levels;
    for (std::size_t i = 0; i < 8; ++i)
        levels.set(octave_bands[i + 1], LevelA(noise.LA[i]));
    return levels;
}

inline double reduction_by_octaves(const Noise& noise, const OctaveAttenuation& attenuation) {
    return 100.0 - level_by_octave_bands(levels_of(noise), attenuation, 1.0).dB();
}

}  // namespace earbudget::test
