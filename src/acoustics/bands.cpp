#include "earbudget/acoustics/bands.hpp"

#include <cmath>

namespace earbudget {

namespace {

constexpr std::array<double, octave_band_count> nominal_Hz = {31.5, 63,   125,  250,  500,
                                                              1000, 2000, 4000, 8000, 16000};

// IEC 61260-1, 5.2: octave frequency ratio, base ten.
const double octave_ratio = std::pow(10.0, 0.3);

}  // namespace

Frequency nominal_frequency(OctaveBand band) { return Frequency(nominal_Hz[index_of(band)]); }

std::string_view name_of(OctaveBand band) { return octave_band_names[index_of(band)]; }

std::optional<OctaveBand> octave_band_named(Frequency f) {
    for (const OctaveBand band : octave_bands) {
        if (nominal_frequency(band) == f) return band;
    }
    return std::nullopt;
}

Frequency mid_band_frequency(OctaveBand band) {
    const int n = static_cast<int>(index_of(band)) - static_cast<int>(index_of(OctaveBand::Hz1000));
    return Frequency(1000.0 * std::pow(octave_ratio, n));
}

Frequency lower_edge(OctaveBand band) { return mid_band_frequency(band) / std::sqrt(octave_ratio); }

Frequency upper_edge(OctaveBand band) { return std::sqrt(octave_ratio) * mid_band_frequency(band); }

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
