#include "earbudget/acoustics/octave_band.hpp"

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

}  // namespace earbudget
