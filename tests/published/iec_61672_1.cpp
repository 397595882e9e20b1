// IEC 61672-1:2013, Electroacoustics – Sound level meters – Part 1: Specifications.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

#include "earbudget/acoustics/frequency_weighting.hpp"
#include "earbudget/acoustics/octave_band.hpp"
#include "earbudget/measurement/sound_exposure_level.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

// Table 3: design-goal weightings in dB and class 1 limits (the limits of 2013 from memory).
struct WeightingRow {
    OctaveBand band;
    double a, c;
    double above, below;
};

constexpr std::array<WeightingRow, 10> table_3 = {{
    {OctaveBand::Hz31_5, -39.4, -3.0, 1.5, 1.5},
    {OctaveBand::Hz63, -26.2, -0.8, 1.0, 1.0},
    {OctaveBand::Hz125, -16.1, -0.2, 1.0, 1.0},
    {OctaveBand::Hz250, -8.6, 0.0, 1.0, 1.0},
    {OctaveBand::Hz500, -3.2, 0.0, 1.0, 1.0},
    {OctaveBand::Hz1000, 0.0, 0.0, 0.7, 0.7},
    {OctaveBand::Hz2000, 1.2, -0.2, 1.0, 1.0},
    {OctaveBand::Hz4000, 1.0, -0.8, 1.0, 1.0},
    {OctaveBand::Hz8000, -1.1, -3.0, 1.5, 2.5},
    {OctaveBand::Hz16000, -6.6, -8.5, 2.5, 16.0},
}};

double rounded(double decibels) { return std::round(decibels * 10.0) / 10.0; }

}  // namespace

TEST_CASE("IEC 61672-1, table 3: the design curve at exact mid-band rounds to the printed values") {
    std::size_t rows = 0;
    for (const WeightingRow& row : table_3) {
        const Frequency f = mid_band_frequency(row.band);
        CHECK(near(rounded(a_weighting(f).dB()), row.a, 1e-9, Because::Arithmetic));
        CHECK(near(rounded(c_weighting(f).dB()), row.c, 1e-9, Because::Arithmetic));
        CHECK(near(a_weighting(row.band).dB(), row.a, 1e-9, Because::Arithmetic));
        CHECK(near(c_weighting(row.band).dB(), row.c, 1e-9, Because::Arithmetic));
        ++rows;
    }
    CHECK(rows == table_3.size());
}

TEST_CASE("IEC 61672-1, table 3: tones are weighted as printed, far within class 1") {
    std::size_t rows = 0;
    for (const double rate : {44100.0, 48000.0, 96000.0}) {
        for (const WeightingRow& row : table_3) {
            CAPTURE(rate);
            const double hertz = mid_band_frequency(row.band).Hz();
            const auto reading = reading_of(sine(hertz, 0.5, 2.0, rate), rate);
            const double a = (*reading.A - *reading.Z).dB();
            const double c = (*reading.C - *reading.Z).dB();
            // Half of the last printed digit, and what a tone of 2 s leaves open.
            CHECK(near(a, row.a, 0.06, Because::PrintedRounding));
            CHECK(near(c, row.c, 0.06, Because::PrintedRounding));
            CHECK(a <= row.a + row.above);
            CHECK(a >= row.a - row.below);
            ++rows;
        }
    }
    CHECK(rows == 30);
}

// Table 5: C-weighted peak level above the steady C-weighted level, for single cycles and half
// cycles (memory), beside the value of the design curve, computed by a filter sampled so finely
// that it is the analogue one.
TEST_CASE("IEC 61672-1, table 5: C-weighted peaks of single and half cycles") {
    struct Row {
        double hertz, cycles, printed, design_curve, class_1;
    };
    constexpr std::array<Row, 5> table_5 = {{
        {31.5, 1.0, 2.5, 2.51, 2.0},
        {500.0, 1.0, 3.5, 3.53, 1.0},
        {8000.0, 1.0, 3.4, 3.45, 2.0},
        {500.0, 0.5, 2.4, 2.33, 1.0},
        {500.0, -0.5, 2.4, 2.33, 1.0},
    }};
    std::size_t rows = 0;
    for (const double rate : {44100.0, 48000.0, 96000.0, 192000.0}) {
        for (const Row& row : table_5) {
            CAPTURE(rate);
            CAPTURE(row.hertz);
            CAPTURE(row.cycles);
            Signal burst = sine(row.hertz, 0.5, std::abs(row.cycles) / row.hertz, rate);
            if (row.cycles < 0) burst = -1.0 * burst;
            const Signal recording =
                followed_by(followed_by(silence(0.5, rate), burst), silence(1.5, rate));
            const auto peak = reading_of(recording, rate).C_peak;
            REQUIRE(peak.has_value());
            const double steady = 20.0 * std::log10(0.5) + c_weighting(Frequency(row.hertz)).dB();
            const double above = peak->dB() - steady;
            CHECK(near(above, row.printed, row.class_1, Because::OwnTolerance));
            // One cycle of 8 kHz is six samples at 48 kHz: its ends fold back on themselves.
            const bool few_samples = row.hertz > 0.05 * rate;
            CHECK(near(above, row.design_curve, few_samples ? 0.08 : 0.02, Because::FiniteSignal));
            ++rows;
        }
    }
    CHECK(rows == 20);
}

TEST_CASE("IEC 61672-1, 3.14: a sound exposure level is the level of the same energy in 1 s") {
    const auto LAE = sound_exposure_level(LevelA(90.0), Seconds(100.0));
    REQUIRE(LAE.has_value());
    CHECK(near(LAE->dB(), 110.0, 1e-9, Because::Arithmetic));
    CHECK(!sound_exposure_level(LevelA(90.0), Seconds(0.0)).has_value());
}
