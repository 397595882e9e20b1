#include "earbudget/acoustics/third_octave.hpp"

#include <cmath>

namespace earbudget {

namespace {

constexpr double position_of_1000_Hz = 17.0;

// G^(1/3) = 10^(1/10).
Frequency at(double thirds) { return Frequency(1000.0 * std::pow(10.0, 0.1 * thirds)); }

}  // namespace

Frequency third_octave_mid_band(std::size_t position) {
    return at(static_cast<double>(position) - position_of_1000_Hz);
}

Frequency third_octave_lower_edge(std::size_t position) {
    return at(static_cast<double>(position) - position_of_1000_Hz - 0.5);
}

Frequency third_octave_upper_edge(std::size_t position) {
    return at(static_cast<double>(position) - position_of_1000_Hz + 0.5);
}

}  // namespace earbudget
