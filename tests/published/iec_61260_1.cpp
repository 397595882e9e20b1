// IEC 61260-1:2014, Electroacoustics – Octave-band and fractional-octave-band filters – Part 1.
#include <array>
#include <cmath>
#include <limits>

#include <doctest/doctest.h>

#include "earbudget/acoustics/octave_band.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double no_limit = std::numeric_limits<double>::infinity();

// Table 1, octave-band filters of class 1: attenuation relative to mid-band at G^(±exponent), in
// dB, least and most. Values from memory.
struct MaskPoint {
    double exponent;
    double least, most;
};

constexpr std::array<MaskPoint, 9> class_1 = {{
    {0.0, -0.4, 0.4},
    {0.125, -0.4, 0.5},
    {0.25, -0.4, 0.7},
    {0.375, -0.4, 1.4},
    {0.5, 2.0, 5.3},
    {1.0, 16.6, no_limit},
    {2.0, 40.5, no_limit},
    {3.0, 60.0, no_limit},
    {4.0, 70.0, no_limit},
}};

const double octave_ratio = std::pow(10.0, 0.3);

/// What a band loses of a tone, dB; a band without any of it loses 200.
double attenuation_of(OctaveBand band, double hertz, double rate) {
    const auto reading = reading_of(sine(hertz, 0.5, 3.0, rate, 0.7), rate);
    const auto level = reading.octave.at(band);
    return level ? (*reading.Z - *level).dB() : 200.0;
}

}  // namespace

TEST_CASE("IEC 61260-1, table 1: octave bands meet class 1 at every point of the mask") {
    constexpr double rate = 48000;
    std::size_t rows = 0;
    for (const OctaveBand band :
         {OctaveBand::Hz31_5, OctaveBand::Hz250, OctaveBand::Hz1000, OctaveBand::Hz16000}) {
        for (const MaskPoint& point : class_1) {
            for (const double sign : {-1.0, 1.0}) {
                const double hertz =
                    mid_band_frequency(band).Hz() * std::pow(octave_ratio, sign * point.exponent);
                if (hertz > 0.49 * rate) continue;
                CAPTURE(name_of(band));
                CAPTURE(hertz);
                const double attenuation = attenuation_of(band, hertz, rate);
                CHECK(attenuation >= point.least);
                CHECK(attenuation <= point.most);
                ++rows;
            }
        }
    }
    CHECK(rows == 4 * 18 - 4);
}

TEST_CASE("IEC 61260-1, 5.16: the bands together pass a tone wherever it lies between them") {
    // Summation of output signals: +1.0 / -2.0 dB for class 1 (memory); ours add up to the whole.
    std::size_t rows = 0;
    for (double exponent = -4.5; exponent <= 3.5; exponent += 0.25) {
        const double hertz = 1000.0 * std::pow(octave_ratio, exponent);
        CAPTURE(hertz);
        const auto reading = reading_of(sine(hertz, 0.5, 2.0, 48000), 48000);
        REQUIRE(reading.octave.sum().has_value());
        CHECK(near((*reading.octave.sum() - *reading.Z).dB(), 0.0, 0.01, Because::OwnTolerance));
        ++rows;
    }
    CHECK(rows == 33);
}

TEST_CASE("IEC 61260-1, annex E: nominal frequencies stand for the exact ones") {
    constexpr std::array<double, 10> nominal = {31.5, 63,   125,  250,  500,
                                                1000, 2000, 4000, 8000, 16000};
    std::size_t rows = 0;
    for (const OctaveBand band : octave_bands) {
        const double exact = mid_band_frequency(band).Hz();
        CHECK(
            near(nominal_frequency(band).Hz(), nominal[index_of(band)], 0.0, Because::Arithmetic));
        CHECK(near(nominal_frequency(band).Hz() / exact, 1.0, 0.01, Because::PrintedRounding));
        ++rows;
    }
    CHECK(rows == 10);
}
