#include "earbudget/acoustics/frequency_weighting.hpp"

#include <cmath>

namespace earbudget {

namespace {

constexpr double square(double x) { return x * x; }

constexpr double f1_squared = square(WeightingPoles::f1.Hz());
constexpr double f2_squared = square(WeightingPoles::f2.Hz());
constexpr double f3_squared = square(WeightingPoles::f3.Hz());
constexpr double f4_squared = square(WeightingPoles::f4.Hz());

// IEC 61672-1, equation (E.6) without its normalization.
double c_response(double f) {
    const double f_squared = square(f);
    return f4_squared * f_squared / ((f_squared + f1_squared) * (f_squared + f4_squared));
}

// IEC 61672-1, equation (E.1) without its normalization.
double a_response(double f) {
    const double f_squared = square(f);
    return c_response(f) * f_squared /
           std::sqrt((f_squared + f2_squared) * (f_squared + f3_squared));
}

constexpr double reference_frequency = 1000.0;

// IEC 61672-1, table 3, one decimal. Derived: the design curve at the exact mid-band frequencies
// rounds to these values (tests/published/iec_61672_1.cpp).
constexpr std::array<double, octave_band_count> a_of_bands = {-39.4, -26.2, -16.1, -8.6, -3.2,
                                                              0.0,   1.2,   1.0,   -1.1, -6.6};
constexpr std::array<double, octave_band_count> c_of_bands = {-3.0, -0.8, -0.2, 0.0,  0.0,
                                                              0.0,  -0.2, -0.8, -3.0, -8.5};

}  // namespace

LevelDifference a_weighting(Frequency f) {
    return LevelDifference(20.0 * std::log10(a_response(f.Hz()) / a_response(reference_frequency)));
}

LevelDifference c_weighting(Frequency f) {
    return LevelDifference(20.0 * std::log10(c_response(f.Hz()) / c_response(reference_frequency)));
}

LevelDifference a_weighting(OctaveBand band) { return LevelDifference(a_of_bands[index_of(band)]); }

LevelDifference c_weighting(OctaveBand band) { return LevelDifference(c_of_bands[index_of(band)]); }

}  // namespace earbudget
