#include "earbudget/measurement/critical_band.hpp"

#include <algorithm>
#include <cmath>

namespace earbudget {

namespace {

constexpr Frequency kilohertz{1000.0};
constexpr Frequency highest_arithmetic{500.0};

double critical_bandwidth(Frequency tone) {
    const double ratio = tone / kilohertz;
    return 25.0 + 75.0 * std::pow(1.0 + 1.4 * ratio * ratio, 0.69);
}

}  // namespace

CriticalBand critical_band(Frequency tone) {
    const double width = critical_bandwidth(tone);
    const double centre = tone <= highest_arithmetic
                              ? tone.Hz()
                              : std::sqrt(tone.Hz() * tone.Hz() + 0.25 * width * width);
    const double from = std::max(0.0, centre - 0.5 * width);
    return {Frequency(from), Frequency(from + width)};
}

LevelDifference prominent_tone_to_noise_ratio(Frequency tone) {
    constexpr LevelDifference from_1_kHz{8.0};
    constexpr LevelDifference per_decade_below{8.33};
    return from_1_kHz + std::max(0.0, std::log10(kilohertz / tone)) * per_decade_below;
}

}  // namespace earbudget
