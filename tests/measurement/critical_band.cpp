#include <cmath>

#include <doctest/doctest.h>

#include "earbudget/measurement/spectrum/tones.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("Critical bands are as wide as the formula says") {
    struct Row {
        double hertz;
        double width;
    };
    // 1 kHz: 25 + 75 * 2.4^0.69; 50 Hz: 25 + 75 * 1.0035^0.69; 10 kHz: 25 + 75 * 141^0.69.
    for (const Row row : {Row{50, 100.2}, Row{1000, 162.2}, Row{10000, 2305.2}}) {
        CAPTURE(row.hertz);
        const CriticalBand band = critical_band(Frequency(row.hertz));
        CHECK(near(band.to.Hz() - band.from.Hz(), row.width, 0.001 * row.width,
                   Because::PrintedRounding));
    }
}

TEST_CASE("A critical band lies about its tone, arithmetically below and geometrically above") {
    const CriticalBand low = critical_band(Frequency(200));
    CHECK(near(0.5 * (low.from.Hz() + low.to.Hz()), 200.0, 1e-9, Because::Arithmetic));
    const CriticalBand high = critical_band(Frequency(4000));
    CHECK(near(std::sqrt(high.from.Hz() * high.to.Hz()), 4000.0, 1e-6, Because::Arithmetic));
    CHECK(critical_band(Frequency(20)).from == Frequency(0));
}

TEST_CASE("Low tones must stand farther out of the noise") {
    struct Row {
        double hertz;
        double decibels;
    };
    for (const Row row : {Row{100, 16.33}, Row{500, 10.51}, Row{1000, 8.0}, Row{8000, 8.0}}) {
        CAPTURE(row.hertz);
        CHECK(near(prominent_tone_to_noise_ratio(Frequency(row.hertz)).dB(), row.decibels, 0.005,
                   Because::PrintedRounding));
    }
}
